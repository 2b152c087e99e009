const key = 'sweeprig.theme';

export type Theme = 'auto' | 'light' | 'dark';

/** Paper by day, blueprint by night: as the system says, or as chosen here. */
class ThemeStore {
  choice = $state<Theme>(read());
  /** Goes up whenever the colours may have changed, for what is drawn on a canvas. */
  version = $state(0);

  constructor() {
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => this.version++);
    this.apply();
  }

  next(): void {
    this.choice = this.choice === 'auto' ? 'light' : this.choice === 'light' ? 'dark' : 'auto';
    try {
      localStorage.setItem(key, this.choice);
    } catch {
      // A browser that keeps nothing still changes its colours.
    }
    this.apply();
    this.version++;
  }

  private apply(): void {
    if (this.choice === 'auto') delete document.documentElement.dataset['theme'];
    else document.documentElement.dataset['theme'] = this.choice;
  }
}

function read(): Theme {
  try {
    const kept = localStorage.getItem(key);
    return kept === 'light' || kept === 'dark' ? kept : 'auto';
  } catch {
    return 'auto';
  }
}

export const theme = new ThemeStore();

const resolved = new Map<string, string>();
let resolvedAt = -1;

/** A colour token as the browser resolves it now, for drawing on a canvas. Asked for at each new pass, hence kept until the theme changes. */
export function colourOf(token: string): string {
  if (resolvedAt !== theme.version) {
    resolved.clear();
    resolvedAt = theme.version;
  }
  const known = resolved.get(token);
  if (known !== undefined) return known;
  const probe = document.createElement('i');
  probe.style.color = `var(--${token})`;
  document.body.append(probe);
  const colour = getComputedStyle(probe).color;
  probe.remove();
  resolved.set(token, colour);
  return colour;
}
