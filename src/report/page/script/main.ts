/** The live part of a player's page: one slider moves figure, curves and tables together. */

import { CURVE_STEPS } from '../../../model/swingRecord.ts';
import { fill } from '../../words/fill.ts';
import type { PageData, PageQuantity } from '../pageData.ts';
import { type Choice, choicesOf, pairsOf } from './choices.ts';
import { type LiveCurve, liveCurve, stepAt } from './curveMarks.ts';
import { all, make, one, wireButtons } from './dom.ts';
import { instantTable } from './instantTable.ts';
import { wireScene } from './scene.ts';
import { stillTables } from './stillTables.ts';
import type { UnitChoice } from './units.ts';

const LAST = CURVE_STEPS - 1;
/** Milliseconds a step while playing; about seven seconds from P1 to P9. */
const STEP_ms = 85;

const data = JSON.parse(one('#page-data').textContent ?? '') as PageData;

interface State {
  step: number;
  solid: Choice;
  dashed: Choice;
  units: UnitChoice;
  topic: string;
  reader: string;
}

function start(): void {
  for (const element of all<HTMLElement>('.live')) element.hidden = false;
  for (const element of all<HTMLElement>('.still')) element.classList.add('print');
  const choices = choicesOf(data);
  const state: State = {
    step: data.start,
    solid: choices[0]!,
    dashed: choices[1]!,
    units: { speed: data.units.speed, length: data.units.length },
    topic: 'trunk',
    reader: location.hash === '#coach' ? 'coach' : 'player',
  };
  const reader = one('[data-buttons=reader]');
  const still = document.querySelector('.positions') === null ? null : stillTables(data);
  const table = document.querySelector('.instant') === null ? null : instantTable(data);
  const scene = document.querySelector('canvas') === null ? null : wireScene(data);
  const curves = all<HTMLElement>('figure.panel').map((figure) => wireCurve(figure, Number(figure.dataset['curve'])));
  let large: LiveCurve | null = null;
  const range = document.querySelector<HTMLInputElement>('.scrub input');
  const place = document.querySelector<HTMLOutputElement>('.scrub output');
  const noteLine = document.querySelector<HTMLElement>('.at-note');
  const steps = data.positions.flatMap(({ step }, i) => (step === null ? [] : [{ step, position: i }]));
  let shownPosition = -1;

  function wireCurve(figure: Element, at: number): LiveCurve {
    const curve = liveCurve(figure, at, data);
    const { svg } = curve;
    const follow = (event: PointerEvent): void => go(stepAt(data.curves[at]!, svg, event.clientX));
    svg.addEventListener('pointerdown', (event) => {
      svg.setPointerCapture(event.pointerId);
      follow(event);
    });
    svg.addEventListener('pointermove', (event) => {
      if (svg.hasPointerCapture(event.pointerId)) follow(event);
    });
    return curve;
  }

  const isShown = ({ topic }: PageQuantity): boolean => {
    if (state.reader === 'player') return topic === 'main';
    return state.topic === 'all' || topic === state.topic || (state.topic === 'trunk' && topic === 'main');
  };

  /** Nearest position, the earlier of two as near. */
  function nearest(): { step: number; position: number } {
    return steps.reduce((best, one) =>
      Math.abs(one.step - state.step) < Math.abs(best.step - state.step) ? one : best,
    );
  }

  function placeText(): string {
    const near = nearest();
    const { id, name } = data.positions[near.position]!;
    if (near.step === state.step) return fill(data.words.at, { position: id, name });
    const before = [...steps].reverse().find(({ step }) => step < state.step);
    const after = steps.find(({ step }) => step > state.step);
    if (before === undefined || after === undefined) return fill(data.words.near, { position: id, name });
    return fill(data.words.between, {
      a: data.positions[before.position]!.id,
      b: data.positions[after.position]!.id,
    });
  }

  /** All that depends on the instant. */
  function show(): void {
    const near = nearest();
    const { step, solid, dashed, units } = state;
    const text = placeText();
    if (range !== null && place !== null) {
      range.value = String(step);
      range.setAttribute('aria-valuetext', text);
      place.textContent = text;
      for (const tick of all<HTMLElement>('.ticks button')) {
        if (Number(tick.dataset['go']) === step) tick.setAttribute('aria-current', 'true');
        else tick.removeAttribute('aria-current');
      }
    }
    scene?.show(step, [solid, dashed], text);
    const position = near.step === step ? near.position : null;
    for (const curve of [...curves, ...(large === null ? [] : [large])]) {
      curve.show({ step, position, solid, dashed, units });
    }
    if (noteLine !== null) {
      const note = position === null ? '' : data.positions[position]!.note;
      noteLine.textContent = note === '' ? '' : `${data.positions[near.position]!.id} ${note}`;
      noteLine.hidden = note === '';
    }
    if (near.position === shownPosition) return;
    shownPosition = near.position;
    showTables();
  }

  function showTables(): void {
    const { solid, dashed, units } = state;
    const { id, name } = data.positions[shownPosition]!;
    const caption = document.querySelector('.instant caption');
    if (caption !== null) caption.textContent = fill(data.words.at, { position: id, name });
    table?.show({ position: shownPosition, solid, dashed, units, isShown });
    still?.mark(shownPosition);
  }

  function showAll(): void {
    shownPosition = -1;
    show();
  }

  function go(step: number): void {
    state.step = Math.min(LAST, Math.max(0, step));
    show();
  }

  function readerIs(value: string): void {
    state.reader = value;
    document.body.dataset['view'] = value;
    still?.filter(isShown);
    scene?.resize();
    showAll();
  }

  if (range !== null) {
    ticks(steps, go);
    wireRange(range, steps, go);
    wirePlay(() => state.step, go);
  }
  for (const link of all<HTMLElement>('a[data-go]')) {
    link.addEventListener('click', () => go(Number(link.dataset['go'])));
  }
  wireSelects(choices, (solid, dashed) => {
    state.solid = solid;
    state.dashed = dashed;
    showAll();
  });
  onChange('topic', (value) => {
    state.topic = value;
    still?.filter(isShown);
    showAll();
  });
  onChange('speed', (value) => unitsAre({ ...state.units, speed: value as UnitChoice['speed'] }));
  onChange('length', (value) => unitsAre({ ...state.units, length: value as UnitChoice['length'] }));
  const topic = document.querySelector<HTMLSelectElement>('select[name=topic]');
  if (topic !== null) topic.value = state.topic;
  for (const name of ['speed', 'length'] as const) {
    const unit = document.querySelector<HTMLSelectElement>(`select[name=${name}]`);
    if (unit !== null) unit.value = state.units[name];
  }

  function unitsAre(units: UnitChoice): void {
    state.units = units;
    still?.units(units);
    showAll();
  }

  const largeSlot = document.querySelector('.large .panel');
  if (largeSlot !== null && curves.length > 0) {
    const select = one<HTMLSelectElement>('select[name=large]');
    const figures = all<HTMLElement>('figure.panel');
    data.curves.forEach(({ quantity }, i) => {
      select.append(new Option(data.quantities[quantity]?.label ?? one('b', figures[i]).textContent ?? '', String(i)));
    });
    const enlarge = (i: number): void => {
      const svg = one('svg', figures[i]).cloneNode(true) as SVGSVGElement;
      for (const moving of svg.querySelectorAll(':scope > .mark, :scope > .own, :scope > circle')) moving.remove();
      const name = one('b', figures[i]).textContent ?? '';
      largeSlot.replaceChildren(make('b', 'name', name), make('p', 'now'), svg);
      large = wireCurve(largeSlot, i);
      show();
    };
    select.addEventListener('change', () => enlarge(Number(select.value)));
    const first = Math.max(
      0,
      data.curves.findIndex(({ quantity }) => quantity === data.lead),
    );
    select.value = String(first);
    enlarge(first);
  }
  still?.units(state.units);
  wireButtons(reader, readerIs);
  for (const button of all<HTMLButtonElement>('button', reader)) {
    button.setAttribute('aria-pressed', String(button.value === state.reader));
  }
  readerIs(state.reader);
}

function onChange(name: string, then: (value: string) => void): void {
  const select = document.querySelector<HTMLSelectElement>(`select[name=${name}]`);
  select?.addEventListener('change', () => then(select.value));
}

/** Names of the positions under the slider, each a way there. */
function ticks(
  steps: readonly { readonly step: number; readonly position: number }[],
  go: (step: number) => void,
): void {
  const row = one('.ticks');
  for (const { step, position } of steps) {
    const button = make('button', '', data.positions[position]!.id) as HTMLButtonElement;
    button.type = 'button';
    button.title = data.positions[position]!.name;
    button.dataset['go'] = String(step);
    button.style.left = `${(100 * step) / LAST}%`;
    if (step % 10 !== 0) button.classList.add('between');
    button.addEventListener('click', () => go(step));
    row.append(button);
  }
}

/** Arrows go a step, page keys to the next position, Home and End to the ends. */
function wireRange(
  range: HTMLInputElement,
  steps: readonly { readonly step: number }[],
  go: (step: number) => void,
): void {
  range.addEventListener('input', () => go(Number(range.value)));
  range.addEventListener('keydown', (event) => {
    const at = Number(range.value);
    const next =
      event.key === 'PageUp'
        ? steps.find(({ step }) => step > at)
        : event.key === 'PageDown'
          ? [...steps].reverse().find(({ step }) => step < at)
          : undefined;
    if (next === undefined) return;
    event.preventDefault();
    go(next.step);
  });
}

/** Plays from the instant to the end, with reduced motion five times as slowly. */
function wirePlay(at: () => number, go: (step: number) => void): void {
  const button = one<HTMLButtonElement>('.play');
  const names = { play: button.textContent ?? '', stop: button.dataset['stop'] ?? '' };
  const pace = matchMedia('(prefers-reduced-motion: reduce)').matches ? 5 * STEP_ms : STEP_ms;
  let playing = false;
  let last = 0;
  const set = (value: boolean): void => {
    playing = value;
    button.textContent = value ? names.stop : names.play;
    button.setAttribute('aria-pressed', String(value));
  };
  const tick = (time: number): void => {
    if (!playing) return;
    if (last === 0) last = time;
    if (time - last >= pace) {
      last = time;
      go(at() + 1);
      if (at() >= LAST) set(false);
    }
    requestAnimationFrame(tick);
  };
  button.addEventListener('click', () => {
    set(!playing);
    if (!playing) return;
    last = 0;
    if (at() >= LAST) go(0);
    requestAnimationFrame(tick);
  });
}

/** Lists of what can be shown; a pair sets both. */
function wireSelects(choices: readonly Choice[], then: (solid: Choice, dashed: Choice) => void): void {
  const show = document.querySelector<HTMLSelectElement>('select[name=show]');
  if (show === null) return;
  const solid = one<HTMLSelectElement>('select[name=solid]');
  const dashed = one<HTMLSelectElement>('select[name=dashed]');
  const pairs = pairsOf(data);
  for (const list of [solid, dashed]) list.append(...optionsOf(choices));
  show.append(...pairs.map(({ label }, i) => new Option(label, String(i))), new Option(data.words.chosen, ''));
  const byKey = (key: string): Choice => choices.find((choice) => choice.key === key)!;
  const tell = (): void => then(byKey(solid.value), byKey(dashed.value));
  [solid.value, dashed.value] = pairs[0]!.keys;
  show.addEventListener('change', () => {
    const pair = pairs[Number(show.value)];
    if (show.value === '' || pair === undefined) return;
    [solid.value, dashed.value] = pair.keys;
    tell();
  });
  for (const list of [solid, dashed]) {
    list.addEventListener('change', () => {
      const found = pairs.findIndex(({ keys }) => keys[0] === solid.value && keys[1] === dashed.value);
      show.value = found < 0 ? '' : String(found);
      tell();
    });
  }
}

function optionsOf(choices: readonly Choice[]): HTMLElement[] {
  const list: HTMLElement[] = [];
  let under = '';
  let group: HTMLOptGroupElement | null = null;
  for (const choice of choices) {
    const option = new Option(choice.label, choice.key);
    if (choice.under === '') list.push(option);
    else {
      if (group === null || choice.under !== under) {
        group = document.createElement('optgroup');
        group.label = choice.under;
        list.push(group);
      }
      group.append(option);
    }
    under = choice.under;
  }
  return list;
}

start();
