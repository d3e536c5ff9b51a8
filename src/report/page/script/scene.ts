import { fill } from '../../words/fill.ts';
import type { PageData } from '../pageData.ts';
import { CAMERAS, type Camera, turned } from './camera.ts';
import type { Choice } from './choices.ts';
import { all, one, press, wireButtons } from './dom.ts';
import { drawScene, pointsAt } from './figure.ts';

/** The canvas with the figure, turned by mouse, touch, keys and buttons. */

export interface LiveScene {
  readonly show: (step: number, choices: readonly [Choice, Choice], place: string) => void;
  /** After the page has changed its width. */
  readonly resize: () => void;
}

/** A press of a key or a button, and a pixel of a drag, radians. */
const PRESS = Math.PI / 18;
const PIXEL = 0.011;

const TURNS: Readonly<Record<string, Camera>> = {
  left: { turn: -PRESS, height: 0 },
  right: { turn: PRESS, height: 0 },
  up: { turn: 0, height: PRESS },
  down: { turn: 0, height: -PRESS },
};

export function wireScene(data: PageData): LiveScene {
  const canvas = one<HTMLCanvasElement>('canvas');
  const context = canvas.getContext('2d');
  const views = one('[data-buttons=view]');
  let camera: Camera = CAMERAS.front;
  let view: keyof typeof data.words.views = 'front';
  let beside = false;
  let shown: { step: number; choices: readonly [Choice, Choice]; place: string } | null = null;

  function paint(): void {
    const { clientWidth: width, clientHeight: height } = canvas;
    if (context === null || shown === null || width === 0) return;
    const sharp = Math.min(3, window.devicePixelRatio || 1);
    const [wide, high] = [Math.round(width * sharp), Math.round(height * sharp)];
    if (canvas.width !== wide || canvas.height !== high) [canvas.width, canvas.height] = [wide, high];
    context.setTransform(sharp, 0, 0, sharp, 0, 0);
    const { step, choices, place } = shown;
    const places = [choices[0].places(), choices[1].places()] as const;
    drawScene(context, width, height, {
      hand: data.hand,
      camera,
      step,
      places,
      labels: [choices[0].label, choices[1].label],
      beside,
      traces: all<HTMLInputElement>('input[name=trace]:checked').map(({ value }) => value),
      target: data.words.target,
    });
    const isThere = places.some((one) => Object.keys(pointsAt(one, step)).length > 0);
    const words = { place, view: data.words.views[view], a: choices[0].label, b: choices[1].label };
    canvas.setAttribute('aria-label', isThere ? fill(data.words.figureSays, words) : data.words.figureMissing);
  }

  function turn(by: Camera): void {
    camera = turned(camera, by);
    view = 'turned';
    press(views, view);
    paint();
  }

  wireButtons(views, (value) => {
    view = value as keyof typeof CAMERAS;
    camera = CAMERAS[view];
    paint();
  });
  wireButtons(one('[data-buttons=placing]'), (value) => {
    beside = value === 'beside';
    paint();
  });
  for (const button of all<HTMLButtonElement>('[data-turns] button')) {
    button.addEventListener('click', () => turn(TURNS[button.value]!));
  }
  for (const box of all('input[name=trace]')) box.addEventListener('change', paint);
  canvas.addEventListener('keydown', (event) => {
    const by = event.key.startsWith('Arrow') ? TURNS[event.key.slice(5).toLowerCase()] : undefined;
    if (by === undefined) return;
    event.preventDefault();
    turn(by);
  });
  wireDrag(canvas, turn);
  new ResizeObserver(paint).observe(canvas);
  return {
    show(step, choices, place) {
      shown = { step, choices, place };
      paint();
    },
    resize: paint,
  };
}

/** A touch that goes up or down scrolls the page; a mouse looks from higher or lower. */
function wireDrag(canvas: HTMLCanvasElement, turn: (by: Camera) => void): void {
  let last: { x: number; y: number } | null = null;
  canvas.addEventListener('pointerdown', (event) => {
    canvas.setPointerCapture(event.pointerId);
    last = { x: event.clientX, y: event.clientY };
  });
  canvas.addEventListener('pointermove', (event) => {
    if (last === null) return;
    const height = event.pointerType === 'touch' ? 0 : PIXEL * (event.clientY - last.y);
    turn({ turn: -PIXEL * (event.clientX - last.x), height });
    last = { x: event.clientX, y: event.clientY };
  });
  for (const end of ['pointerup', 'pointercancel'] as const) {
    canvas.addEventListener(end, () => {
      last = null;
    });
  }
}
