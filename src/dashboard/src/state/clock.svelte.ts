/** Time for countdowns, four times a second; milliseconds of the page's own steady clock. */
class Clock {
  now = $state(performance.now());

  constructor() {
    setInterval(() => (this.now = performance.now()), 250);
  }
}

export const clock = new Clock();
