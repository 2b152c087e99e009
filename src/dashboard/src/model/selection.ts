export const mostOverlaid = 8;

/** Which runs lie over one another. A run keeps its place, and with it colour and shape, until it is taken off. */
export class Selection {
  private readonly places: (string | null)[] = new Array<string | null>(mostOverlaid).fill(null);

  get ids(): string[] {
    return this.places.filter((id): id is string => id !== null);
  }

  has(id: string): boolean {
    return this.places.includes(id);
  }

  /** Place from 0, or -1. */
  placeOf(id: string): number {
    return this.places.indexOf(id);
  }

  /** @returns why not, or null when it was added (or lay there already). */
  add(id: string): string | null {
    if (this.has(id)) return null;
    const free = this.places.indexOf(null);
    if (free < 0) return `${mostOverlaid} runs lie over one another already, which is the most that can be told apart. Take one off first.`;
    this.places[free] = id;
    return null;
  }

  remove(id: string): void {
    const place = this.placeOf(id);
    if (place >= 0) this.places[place] = null;
  }

  clear(): void {
    this.places.fill(null);
  }
}
