/** Seeded random numbers of the generator: the same sequence for the same seed on every machine. */
export class Random {
  #state: number;
  #spare: number | null = null;

  constructor(seed: number) {
    this.#state = (seed ^ 0x5bf0_3635) | 0;
    for (let i = 0; i < 4; i += 1) this.uniform();
  }

  /** In [0, 1). A 32-bit counter through a mixing function (additive step and two multiplications). */
  uniform(): number {
    this.#state = (this.#state + 0x9e37_79b9) | 0;
    let z = this.#state;
    z = Math.imul(z ^ (z >>> 16), 0x21f0_aaad);
    z = Math.imul(z ^ (z >>> 15), 0x735a_2d97);
    z ^= z >>> 15;
    return (z >>> 0) / 4_294_967_296;
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.uniform();
  }

  /** Standard normal (Box and Muller 1958, polar angle form). */
  normal(): number {
    if (this.#spare !== null) {
      const value = this.#spare;
      this.#spare = null;
      return value;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - this.uniform()));
    const angle = 2 * Math.PI * this.uniform();
    this.#spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  }
}
