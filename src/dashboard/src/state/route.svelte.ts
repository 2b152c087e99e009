export type Screen = 'bench' | 'runs' | 'calibration';

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
  if (location.hash.startsWith('#/calibration')) return 'calibration';
  return location.hash.startsWith('#/runs') ? 'runs' : 'bench';
}

export const route = new Route();
