export type Screen = 'bench' | 'runs';

class Route {
  screen = $state<Screen>(read());

  constructor() {
    addEventListener('hashchange', () => (this.screen = read()));
  }

  go(screen: Screen): void {
    location.hash = `/${screen}`;
  }
}

function read(): Screen {
  return location.hash.startsWith('#/runs') ? 'runs' : 'bench';
}

export const route = new Route();
