/** Milliseconds between two keys of a scanner at most; people who type that fast do not type numbers of tubes. */
export const scannerGap = 80;

/**
 * Tells a scanner, which types like a keyboard, from a person by its haste. Keys go in with their time; an Enter that follows a burst gives its text.
 */
export class Bursts {
  private text = '';
  private last = -Infinity;

  /** True while keys come as fast as a scanner sends them. */
  get running(): boolean {
    return this.text.length > 1;
  }

  /**
   * @param key as keyboard events have it
   * @param at milliseconds
   * @returns the text when this key ended a burst, and else null
   */
  take(key: string, at: number): string | null {
    // Shift goes down before every capital letter.
    if (key === 'Shift') return null;
    const fast = at - this.last <= scannerGap;
    this.last = at;
    if (key === 'Enter' || key === 'Tab') {
      const text = fast ? this.text : '';
      this.text = '';
      return text.length > 1 ? text : null;
    }
    this.text = key.length !== 1 ? '' : fast ? this.text + key : key;
    return null;
  }
}
