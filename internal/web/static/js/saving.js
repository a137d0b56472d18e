// @ts-check
// Actions go to the server one after another, in order. An action is
// done when the server has answered; until then it is waiting, and a failure
// is shown and tried again.

/**
 * What the server said when it refused an action for good.
 */
export class Refused extends Error {}

/** Longest pause between two tries, ms. */
const longestPause = 15000;

/**
 * Pause before try n (1 = first repeat), ms: 1 s, doubling.
 * @param {number} n
 * @returns {number} ms
 */
export function pauseBefore(n) {
  return Math.min(1000 * 2 ** (n - 1), longestPause);
}

/**
 * A line of actions waiting to be saved.
 * @template A an action
 * @template T what the server answers
 */
export class SavingLine {
  /**
   * @param {object} means
   * @param {(action: A) => Promise<T>} means.send fails with Refused when trying again is no use
   * @param {(answer: T, left: number) => void} means.saved
   * @param {(problem: Error, nextTryMs: number) => void} means.failed nextTryMs is 0 when the action was refused and dropped
   * @param {(run: () => void, ms: number) => number} [means.later] setTimeout
   */
  constructor(means) {
    this.means = means;
    /** @type {A[]} */
    this.waiting = [];
    this.sending = false;
    this.tries = 0;
    this.timer = 0;
    this.later = means.later ?? ((run, ms) => Number(setTimeout(run, ms)));
  }

  /** How many actions are not saved yet. */
  get left() {
    return this.waiting.length;
  }

  /** @param {A} action */
  add(action) {
    this.waiting.push(action);
    if (this.tries === 0) void this.sendNext();
  }

  /** Tries again now. */
  retry() {
    clearTimeout(this.timer);
    void this.sendNext();
  }

  async sendNext() {
    if (this.sending || this.waiting.length === 0) return;
    this.sending = true;
    const action = this.waiting[0];
    try {
      const answer = await this.means.send(action);
      this.waiting.shift();
      this.tries = 0;
      this.means.saved(answer, this.waiting.length);
    } catch (problem) {
      this.failed(/** @type {Error} */ (problem));
    } finally {
      this.sending = false;
    }
    if (this.tries === 0) void this.sendNext();
  }

  /** @param {Error} problem */
  failed(problem) {
    if (problem instanceof Refused) {
      this.waiting.shift();
      this.tries = 0;
      this.means.failed(problem, 0);
      return;
    }
    this.tries += 1;
    const pause = pauseBefore(this.tries);
    this.means.failed(problem, pause);
    this.timer = this.later(() => void this.sendNext(), pause);
  }
}
