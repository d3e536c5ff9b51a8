/** Bytes that grow: gathered and handed on at once, since one call a piece costs more than the piece. */

const FIRST_SIZE = 16_384;
const number = new Float64Array(1);
const ofNumber = new Uint8Array(number.buffer);

export class Bytes {
  #room = Buffer.allocUnsafe(FIRST_SIZE);
  #used = 0;

  /** What was added so far; valid until more is added. */
  all(): Uint8Array {
    return this.#room.subarray(0, this.#used);
  }

  /** A text as UTF-8. */
  text(text: string): void {
    this.#makeRoom(3 * text.length);
    this.#used += this.#room.write(text, this.#used, 'utf8');
  }

  /** The mark n and the eight bytes of a number as this machine has them. */
  number(value: number): void {
    this.#makeRoom(9);
    number[0] = value;
    this.#room[this.#used] = N;
    for (let i = 0; i < 8; i++) this.#room[this.#used + 1 + i] = ofNumber[i]!;
    this.#used += 9;
  }

  copy(bytes: Uint8Array): void {
    this.#makeRoom(bytes.length);
    this.#room.set(bytes, this.#used);
    this.#used += bytes.length;
  }

  #makeRoom(more: number): void {
    const needed = this.#used + more;
    if (needed <= this.#room.length) return;
    const wider = Buffer.allocUnsafe(Math.max(needed, 2 * this.#room.length));
    wider.set(this.all());
    this.#room = wider;
  }
}

const N = 'n'.charCodeAt(0);
