/** What the drawings share: their colours in each theme, and writing SVG as text. */

/**
 * `light` and `dark` have no ground of their own. `neutral` brings a light ground, so that it can be read on any
 * page. `both` takes its colours from the page: see `drawingStyles`.
 */
export type Theme = 'light' | 'dark' | 'neutral' | 'both';

export interface DrawingOptions {
  readonly theme: Theme;
}

export interface Drawing {
  /** One `<svg>` element, with its text equivalent as title. */
  readonly svg: string;
  /** Everything that the picture says, in words. */
  readonly text: string;
  /** CSS pixels. */
  readonly width: number;
  readonly height: number;
}

export type Colour = 'ink' | 'soft' | 'line' | 'band' | 'good' | 'worn' | 'bad' | 'paper';

// Every ink stands out from its ground by 4.5:1 at least (WCAG 2.2, 1.4.3); tests/features/drawings.test.ts reckons.
export const palettes: Readonly<Record<'light' | 'dark', Readonly<Record<Colour, string>>>> = {
  light: {
    ink: '#1c2128',
    soft: '#57606a',
    line: '#6e7781',
    band: '#d3e9d8',
    good: '#136c2e',
    worn: '#8a5a00',
    bad: '#b3151f',
    paper: '#ffffff',
  },
  dark: {
    ink: '#f0f3f6',
    soft: '#b3bcc6',
    line: '#919ba5',
    band: '#1f4a2c',
    good: '#5fd075',
    worn: '#eab84c',
    bad: '#ff8a84',
    paper: '#1e1e1e',
  },
};

function rules(theme: 'light' | 'dark'): string {
  return Object.entries(palettes[theme])
    .map(([name, value]) => `--wm-${name}:${value}`)
    .join(';');
}

/** Goes once into a page that shows drawings in the theme `both`; a page may set the same properties itself. */
export const drawingStyles = `:root{${rules('light')}}@media (prefers-color-scheme:dark){:root{${rules('dark')}}}`;

/** Gives the colours of a theme. */
export function paint(theme: Theme): (colour: Colour) => string {
  if (theme === 'both') return (colour) => `var(--wm-${colour},${palettes.light[colour]})`;
  const palette = palettes[theme === 'dark' ? 'dark' : 'light'];
  return (colour) => palette[colour];
}

/** Text that may stand in an element or in an attribute; what XML cannot hold at all is left out. */
export function escapeXml(text: string): string {
  return text
    .replace(/[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}

type Attributes = Readonly<Record<string, string | number | undefined>>;

/** One element; `content` is SVG already. */
export function element(name: string, attributes: Attributes, content = ''): string {
  const written = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => ` ${key}="${typeof value === 'number' ? round(value) : escapeXml(value ?? '')}"`)
    .join('');
  return content === '' ? `<${name}${written}/>` : `<${name}${written}>${content}</${name}>`;
}

/** A line of text; `anchor` says which end of it stands at `x`. */
export function label(
  x: number,
  y: number,
  content: string,
  style: { fill: string; size?: number; anchor?: 'start' | 'middle' | 'end'; weight?: number },
): string {
  return element(
    'text',
    {
      x,
      y,
      fill: style.fill,
      'font-size': style.size ?? 12,
      'text-anchor': style.anchor ?? 'start',
      'font-weight': style.weight,
    },
    escapeXml(content),
  );
}

/** The whole drawing. */
export function drawing(
  { width, height, text, theme }: { width: number; height: number; text: string; theme: Theme },
  content: string,
): Drawing {
  const ground =
    theme === 'neutral' ? element('rect', { width, height, rx: 6, fill: palettes.light.paper }) : '';
  const svg = element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      role: 'img',
      width,
      height,
      viewBox: `0 0 ${round(width)} ${round(height)}`,
      'font-family': 'system-ui, sans-serif',
    },
    element('title', {}, escapeXml(text)) + ground + content,
  );
  return { svg, text, width, height };
}

/** Room for a text of that many characters: letters of a sans-serif are seldom wider. */
export function textWidth(text: string, size = 12): number {
  return text.length * size * 0.6;
}

function round(value: number): string {
  return String(Math.round(value * 100) / 100);
}

/** A drawing as an image in Markdown, its words as the alternative text. */
export function markdownImage({ svg, text, width, height }: Drawing): string {
  let binary = '';
  for (const byte of new TextEncoder().encode(svg)) binary += String.fromCharCode(byte);
  const words = text.replaceAll(/[[\]\\|]/g, ' ').replaceAll(/\s+/g, ' ');
  return `![${words}](data:image/svg+xml;base64,${btoa(binary)}|width=${round(width)},height=${round(height)})`;
}
