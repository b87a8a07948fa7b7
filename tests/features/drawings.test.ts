/** The drawings: every text on them, their words, their contrast, and that no text can break out of them. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { palettes } from '../../server/features/drawings/svg.ts';
import {
  type BoreMap,
  type Drawing,
  drawBoreMap,
  drawFastenerGroup,
  drawingStyles,
  drawLimitBar,
  type GroupPicture,
  type LimitBar,
  markdownImage,
} from '../../server/features/index.ts';

const clearance: LimitBar = {
  name: 'piston-clearance[rear]',
  unit: 'mm',
  decimals: 3,
  fresh: { lower: 0.06, upper: 0.12 },
  wear: { upper: 0.15 },
  readings: [{ low: 0.132, high: 0.132, uncertainty: 0.006, verdict: 'past-new' }],
};

const group: GroupPicture = {
  name: 'case-m8',
  layout: { kind: 'rows', rows: 2 },
  order: ['2', '3', '1', '4'],
  stageCount: 2,
  members: (['done', 'on-the-way', 'finger-tight', 'due'] as const).map((progress, i) => ({
    item: String(i + 1),
    progress,
    stage: progress === 'done' ? 2 : 1,
    striped: progress === 'done',
    locked: undefined,
  })),
};

const bore: BoreMap = {
  name: 'bore[rear]',
  unit: 'mm',
  decimals: 3,
  sections: ['top', 'bottom'],
  directions: ['thrust', 'pin'],
  fresh: { lower: 67.5, upper: 67.52 },
  wear: { upper: 67.56 },
  readings: [
    { section: 'top', direction: 'thrust', value: 67.571, verdict: 'outside' },
    { section: 'top', direction: 'pin', value: 67.528, verdict: 'past-new' },
    { section: 'bottom', direction: 'thrust', value: 67.519, verdict: 'inside' },
  ],
};

const textsOf = ({ svg }: Drawing) =>
  [...svg.matchAll(/<text[^>]*>([^<]*)<\/text>/g)].map((match) => match[1]);

/** Whether every element is closed in turn and every attribute is quoted. */
function isWellFormed(svg: string): boolean {
  const open: string[] = [];
  const rest = svg.replace(
    /<(\/?)([a-z]+)((?:\s[\w:-]+="[^"<>]*")*)\s*(\/?)>|[^<>&]+|&(?:amp|lt|gt|quot);/g,
    (_all, end: string, name: string | undefined, _attributes, alone: string) => {
      if (name !== undefined && end === '/') return open.pop() === name ? '' : '!';
      if (name !== undefined && alone !== '/') open.push(name);
      return '';
    },
  );
  return rest === '' && open.length === 0;
}

describe('what they say', () => {
  test('a bar names its value, uncertainty, verdict and limits', () => {
    const drawn = drawLimitBar(clearance, { theme: 'light' });
    expect(drawn.text).toBe(
      'piston-clearance[rear]: 0.132 mm ± 0.006 mm, past the range for new parts, inside the wear limit. Limit: new 0.060..0.120 mm, wear <= 0.150 mm.',
    );
    expect(textsOf(drawn)).toEqual(['0.060', '0.120', '0.150', '0.132']);
  });

  test('a bar without a reading still shows the limit', () => {
    const drawn = drawLimitBar({ ...clearance, readings: [] }, { theme: 'light' });
    expect(drawn.text).toContain('no reading');
    expect(textsOf(drawn)).toEqual(['0.060', '0.120', '0.150']);
  });

  test('a group shows numbers, order, and who is how far', () => {
    const drawn = drawFastenerGroup(group, { theme: 'light' });
    expect(drawn.text).toBe(
      'case-m8: 1 of 4 torqued; torqued 1; at a stage before the last 2; finger-tight 3; not begun 4; striped 1; order 2 3 1 4.',
    );
    expect(textsOf(drawn)).toEqual(['1', '3', '2', '1', '3', '2', '4', '4']);
  });

  test('members below different paths stand round circles of their own, one beside the other', () => {
    const items = ['front/1', 'rear/1', 'front/2', 'rear/2', 'front/3', 'rear/3'];
    const [first] = group.members;
    const { svg } = drawFastenerGroup(
      { ...group, layout: { kind: 'circle' }, members: items.map((item) => ({ ...first!, item })) },
      { theme: 'light' },
    );
    const across = [...svg.matchAll(/<circle cx="([\d.]+)"/g)].map((match) => Number(match[1]));
    const of = (path: string) => across.filter((_, i) => items[i]?.startsWith(path));
    expect(across).toHaveLength(6);
    expect(Math.max(...of('front'))).toBeLessThan(Math.min(...of('rear')));
  });

  test('members stand round a circle from the top, clockwise', () => {
    const { svg } = drawFastenerGroup(
      { ...group, layout: { kind: 'circle' }, order: undefined },
      { theme: 'light' },
    );
    const spots = [...svg.matchAll(/<circle cx="([\d.]+)" cy="([\d.]+)"/g)].map((match) => [
      Number(match[1]),
      Number(match[2]),
    ]);
    const [top, right, bottom, left] = spots as [number[], number[], number[], number[]];
    expect(top[1]).toBeLessThan(right[1]!);
    expect(bottom[1]).toBeGreaterThan(right[1]!);
    expect(right[0]).toBeGreaterThan(top[0]!);
    expect(left[0]).toBeLessThan(top[0]!);
  });

  test('a bore gives every reading, what is not read, oval and taper', () => {
    const drawn = drawBoreMap(bore, { theme: 'light' });
    expect(drawn.text).toBe(
      'bore[rear]. top: thrust 67.571 mm, pin 67.528 mm; bottom: thrust 67.519 mm, pin not read; out of round 0.043 mm, taper 0.052 mm, new 67.500..67.520 mm, wear <= 67.560 mm.',
    );
    expect(textsOf(drawn)).toEqual(
      expect.arrayContaining(['top', 'bottom', 'thrust', 'pin', '67.571', '67.528', '67.519', '?', '0.043']),
    );
  });
});

describe('legible', () => {
  // WCAG 2.2, relative luminance and contrast ratio.
  const luminance = (hex: string) => {
    const [r, g, b] = [1, 3, 5]
      .map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255)
      .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)) as [number, number, number];
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const contrast = (a: string, b: string) => {
    const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
    return (high + 0.05) / (low + 0.05);
  };

  test.each([
    ['light', '#ffffff'],
    ['light', '#f8f8f8'],
    ['dark', '#000000'],
    ['dark', '#1e1e1e'],
    ['dark', '#2d2d30'],
  ] as const)('%s on %s: 4.5 to 1 for every ink', (theme, ground) => {
    const { band, paper, line, ...inks } = palettes[theme];
    for (const [name, ink] of Object.entries(inks))
      expect(contrast(ink, ground), `${name} on ${ground}`).toBeGreaterThanOrEqual(4.5);
    expect(contrast(line, ground)).toBeGreaterThanOrEqual(3);
    expect(contrast(inks.ink, band)).toBeGreaterThanOrEqual(4.5);
    expect(contrast(paper, inks.good)).toBeGreaterThanOrEqual(4.5);
  });

  test('neutral brings its own ground; both takes its colours from the page', () => {
    expect(drawLimitBar(clearance, { theme: 'neutral' }).svg).toContain(`fill="${palettes.light.paper}"`);
    const { svg } = drawLimitBar(clearance, { theme: 'both' });
    expect(svg).toContain('var(--wm-ink,');
    expect(drawingStyles).toMatch(
      /^:root\{.*--wm-ink:#.*\}@media \(prefers-color-scheme:dark\)\{:root\{.*\}\}$/,
    );
  });
});

describe('whole', () => {
  const name = fc.string({ unit: 'binary', maxLength: 12 });
  const size = fc.double({ noNaN: true, min: -1e6, max: 1e6 });
  const verdict = fc.constantFrom('inside', 'past-new', 'outside', undefined);

  test('any names and numbers give a well-formed picture without NaN', () => {
    fc.assert(
      fc.property(
        name,
        fc.array(fc.tuple(name, size, verdict), { maxLength: 20 }),
        fc.constantFrom('light', 'dark', 'neutral', 'both'),
        fc.option(size, { nil: undefined }),
        fc.nat({ max: 20 }),
        (title, rows, theme, upper, layout) => {
          const drawn = [
            drawLimitBar(
              {
                name: title,
                unit: 'mm',
                decimals: 3,
                fresh: { upper },
                readings: rows.map(([, value, how]) => ({ low: value, high: value, verdict: how })),
              },
              { theme },
            ),
            drawFastenerGroup(
              {
                name: title,
                layout: layout === 0 ? { kind: 'circle' } : { kind: 'rows', rows: layout },
                order: rows.map(([item]) => item),
                stageCount: 1,
                members: rows.map(([item]) => ({
                  item,
                  progress: 'on-the-way',
                  stage: 1,
                  striped: true,
                  locked: false,
                })),
              },
              { theme },
            ),
            drawBoreMap(
              {
                name: title,
                unit: 'mm',
                decimals: 3,
                sections: rows.map(([item]) => item),
                directions: ['a'],
                readings: rows.map(([section, value, how]) => ({
                  section,
                  direction: 'a',
                  value,
                  verdict: how,
                })),
                wear: { lower: upper },
              },
              { theme },
            ),
          ];
          for (const { svg } of drawn) {
            expect(isWellFormed(svg), svg).toBe(true);
            expect(svg).not.toMatch(/NaN|Infinity|undefined/);
          }
        },
      ),
    );
  });

  test('an image in Markdown holds the picture and says it in words', () => {
    const drawn = drawFastenerGroup({ ...group, name: 'écrou-[1]' }, { theme: 'neutral' });
    const image = markdownImage(drawn);
    const [, words, data] = /^!\[([^\]]*)\]\(data:image\/svg\+xml;base64,([^|]+)\|width=\d/.exec(image) ?? [];
    expect(words).toContain('1 of 4 torqued');
    expect(Buffer.from(data ?? '', 'base64').toString('utf8')).toBe(drawn.svg);
  });
});
