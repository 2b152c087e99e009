export type Screen = 'bench' | 'runs' | 'run' | 'calibration';

/** Where the page is: the screen, the run it is about, and what was asked there. All of it is in the address, so that back, a bookmark and a reload lead to it. */
class Route {
  screen = $state<Screen>('bench');
  /** Id of the run of the screen `run`; empty elsewhere. */
  run = $state('');
  /** What follows the question mark. */
  query = $state.raw(new URLSearchParams());

  constructor() {
    this.read();
    addEventListener('hashchange', () => this.read());
  }

  go(screen: Exclude<Screen, 'run'>): void {
    location.hash = `/${screen}`;
  }

  /** Changes what was asked without a step for the back key. */
  ask(changes: Record<string, string | null>): void {
    const query = new URLSearchParams(this.query);
    for (const [name, value] of Object.entries(changes)) {
      if (value === null || value === '') query.delete(name);
      else query.set(name, value);
    }
    this.replace(query);
  }

  /** As `ask`, with the whole of it. */
  replace(query: URLSearchParams): void {
    const text = query.toString();
    history.replaceState(history.state, '', `${location.hash.split('?')[0]}${text === '' ? '' : `?${text}`}`);
    this.query = query;
  }

  private read(): void {
    const [path = '', query = ''] = location.hash.slice(1).split('?');
    const [, first, id = ''] = path.split('/');
    this.run = first === 'runs' ? decodeURIComponent(id) : '';
    this.query = new URLSearchParams(query);
    this.screen = this.run !== '' ? 'run' : first === 'calibration' || first === 'runs' ? first : 'bench';
  }
}

export const route = new Route();
