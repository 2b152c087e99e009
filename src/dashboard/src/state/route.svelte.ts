export type Screen = 'bench' | 'round' | 'stock' | 'lot' | 'runs' | 'run' | 'calibration' | 'night' | 'logic' | 'interlocks';

/** Screens that are about nothing in particular. */
const plain = ['bench', 'round', 'stock', 'runs', 'calibration', 'night', 'logic', 'interlocks'] as const;

/** Where the page is: the screen, the run or lot it is about, and what was asked there. All of it is in the address, so that back, a bookmark and a reload lead to it. */
class Route {
  screen = $state<Screen>('bench');
  /** Id of the run of the screen `run`; empty elsewhere. */
  run = $state('');
  /** Name of the lot of the screen `lot`; empty elsewhere. */
  lot = $state('');
  /** Part of the screen `night`; empty elsewhere, and where the screen chooses itself. */
  part = $state('');
  /** What follows the question mark. */
  query = $state.raw(new URLSearchParams());

  constructor() {
    this.read();
    addEventListener('hashchange', () => this.read());
  }

  go(screen: Exclude<Screen, 'run' | 'lot'>): void {
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
    this.part = first === 'night' ? id : '';
    this.query = new URLSearchParams(query);
    this.lot = first === 'lots' ? decodeURIComponent(id) : '';
    this.screen = this.run !== '' ? 'run' : this.lot !== '' ? 'lot' : plain.find((s) => s === first) ?? 'bench';
  }
}

export const route = new Route();
