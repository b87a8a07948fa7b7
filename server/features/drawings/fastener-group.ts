/** A group of fasteners as it lies on the part: numbers, order, how far each one is, and the stripe across those done. */
import { rowPlaces } from '../../calculations/index.ts';
import { laidTogether } from '../../rebuild/index.ts';
import { type Drawing, type DrawingOptions, drawing, element, label, paint, textWidth } from './svg.ts';

export type MemberProgress = 'done' | 'on-the-way' | 'finger-tight' | 'loosened' | 'due';

export interface GroupMember {
  /** Its number or path. */
  readonly item: string;
  readonly progress: MemberProgress;
  /** The highest stage it has had; 0 for none. */
  readonly stage: number;
  /** The witness mark is on it. */
  readonly striped: boolean;
  /** Its lock is on it; undefined when it needs none. */
  readonly locked: boolean | undefined;
}

export interface GroupPicture {
  readonly name: string;
  readonly layout: { readonly kind: 'circle' } | { readonly kind: 'rows'; readonly rows: number } | undefined;
  /** In the order of the declaration. */
  readonly members: readonly GroupMember[];
  /** The order asked for, as members; undefined for any. */
  readonly order: readonly string[] | undefined;
  /** How many stages there are, the final one included. */
  readonly stageCount: number;
}

const words: Readonly<Record<MemberProgress, string>> = {
  done: 'torqued',
  'on-the-way': 'at a stage before the last',
  'finger-tight': 'finger-tight',
  loosened: 'loosened',
  due: 'not begun',
};

function describe(group: GroupPicture): string {
  const { members, order } = group;
  const done = members.filter((member) => member.progress === 'done').length;
  const parts = [`${group.name}: ${done} of ${members.length} torqued`];
  for (const progress of ['done', 'on-the-way', 'finger-tight', 'loosened', 'due'] as const) {
    const items = members.filter((member) => member.progress === progress).map((member) => member.item);
    if (items.length > 0 && items.length < members.length)
      parts.push(`${words[progress]} ${items.join(' ')}`);
  }
  const unlocked = members.filter((member) => member.locked === false && member.progress === 'done');
  if (unlocked.length > 0) parts.push(`not locked ${unlocked.map((member) => member.item).join(' ')}`);
  const striped = members.filter((member) => member.striped);
  if (striped.length > 0)
    parts.push(
      striped.length === members.length
        ? 'all striped'
        : `striped ${striped.map((member) => member.item).join(' ')}`,
    );
  if (order !== undefined) parts.push(`order ${order.join(' ')}`);
  return `${parts.join('; ')}.`;
}

interface Spot {
  readonly x: number;
  readonly y: number;
}

const RADIUS = 13;
const ROOM = 46;
/** Wide enough for a page; a longer row is broken. */
const MOST_IN_ROW = 14;

/** Where each member lies: those that lie together by themselves, one such set beside the other. */
function placesOf(group: GroupPicture): { spots: readonly Spot[]; width: number; height: number } {
  const byItem = new Map(group.members.map((member) => [member.item, member]));
  const sets = group.layout === undefined ? [] : laidTogether([...byItem.keys()]);
  if (sets.length < 2) return placesInSet(group);
  const at = new Map<string, Spot>();
  let width = 0;
  let height = 0;
  for (const set of sets) {
    const members = set.flatMap((item) => byItem.get(item) ?? []);
    const placed = placesInSet({ ...group, members });
    for (const [i, { x, y }] of placed.spots.entries()) at.set(set[i] ?? '', { x: x + width, y });
    width += placed.width;
    height = Math.max(height, placed.height);
  }
  return { spots: group.members.map(({ item }) => at.get(item) ?? { x: 0, y: 0 }), width, height };
}

/** Where each member of one set lies. Rows run along each row as the layout counts; without a layout, as many rows as needed. */
function placesInSet(group: GroupPicture): { spots: readonly Spot[]; width: number; height: number } {
  const count = group.members.length;
  const widest = Math.max(...group.members.map((member) => textWidth(member.item, 11)), 0);
  const room = Math.max(ROOM, widest + 14);
  if (group.layout?.kind === 'circle' && count > 2) {
    const circle = Math.max(52, (count * room) / (2 * Math.PI));
    const half = circle + RADIUS + 20;
    return {
      spots: group.members.map((_, i) => ({
        x: half + circle * Math.sin((2 * Math.PI * i) / count),
        y: half - circle * Math.cos((2 * Math.PI * i) / count),
      })),
      width: 2 * half,
      height: 2 * half,
    };
  }
  const rows = group.layout?.kind === 'rows' ? group.layout.rows : Math.ceil(count / MOST_IN_ROW);
  const places = rowPlaces(count, Math.max(1, Math.min(rows, count)));
  const longest = Math.max(...[...places.values()].map((place) => Math.abs(place.along)), 0);
  const deepest = Math.max(...[...places.values()].map((place) => Math.abs(place.across)), 0);
  const row = ROOM + 12;
  return {
    spots: group.members.map((_, i) => {
      const place = places.get(i + 1) ?? { along: 0, across: 0 };
      return {
        x: room * 0.6 + (place.along + longest) * room,
        y: row * 0.55 + (place.across + deepest) * row,
      };
    }),
    width: room * (2 * longest + 1.2) + 4,
    height: row * (2 * deepest + 1.1),
  };
}

/**
 * Draws the group. A fastener that is torqued is filled; one on the way is filled from below by its stages; one run
 * down by hand has a dashed ring; one that was loosened is crossed out; the stripe is a bar across. The number in it is
 * its own, the small one above it its place in the order. At most 120 are drawn; the words name them all.
 */
export function drawFastenerGroup(whole: GroupPicture, { theme }: DrawingOptions): Drawing {
  const colour = paint(theme);
  const group = { ...whole, members: whole.members.slice(0, 120) };
  const { spots, width, height } = placesOf(group);
  const turn = new Map(group.order?.map((item, i) => [item, i + 1]));
  const parts: string[] = [];
  for (const [i, member] of group.members.entries()) {
    const spot = spots[i];
    if (spot === undefined) continue;
    parts.push(memberShape(member, spot, group.stageCount, colour));
    const short = member.item === '' ? '' : member.item;
    const inside = short.length <= 3;
    parts.push(
      label(spot.x, inside ? spot.y + 4 : spot.y + RADIUS + 12, short, {
        fill: inside && member.progress === 'done' ? colour('paper') : colour('ink'),
        size: inside ? 12 : 11,
        anchor: 'middle',
        weight: 600,
      }),
    );
    const place = turn.get(member.item);
    if (place !== undefined)
      parts.push(
        label(spot.x + RADIUS - 1, spot.y - RADIUS + 1, String(place), { fill: colour('soft'), size: 10 }),
      );
    if (member.locked === false && member.progress === 'done')
      parts.push(
        label(spot.x - RADIUS - 1, spot.y - RADIUS + 2, '!', {
          fill: colour('worn'),
          size: 12,
          anchor: 'end',
          weight: 700,
        }),
      );
  }
  return drawing({ width, height, text: describe(whole), theme }, parts.join(''));
}

function memberShape(
  member: GroupMember,
  { x, y }: Spot,
  stageCount: number,
  colour: ReturnType<typeof paint>,
): string {
  const ring = (stroke: string, fill: string, dash?: string) =>
    element('circle', {
      cx: x,
      cy: y,
      r: RADIUS,
      fill,
      stroke,
      'stroke-width': 2,
      'stroke-dasharray': dash,
    });
  const stripe = member.striped
    ? element('line', {
        x1: x - RADIUS - 4,
        y1: y + RADIUS - 2,
        x2: x + RADIUS + 4,
        y2: y + RADIUS - 2,
        stroke: colour('worn'),
        'stroke-width': 4,
      })
    : '';
  switch (member.progress) {
    case 'done':
      return ring(colour('good'), colour('good')) + stripe;
    case 'on-the-way': {
      const share = Math.min(0.9, Math.max(0.1, member.stage / Math.max(1, stageCount)));
      const level = y + RADIUS - 2 * RADIUS * share;
      const half = Math.sqrt(Math.max(0, RADIUS ** 2 - (level - y) ** 2));
      const large = share > 0.5 ? 1 : 0;
      const filled = element('path', {
        d: `M${(x - half).toFixed(1)} ${level.toFixed(1)}A${RADIUS} ${RADIUS} 0 ${large} 0 ${(x + half).toFixed(1)} ${level.toFixed(1)}z`,
        fill: colour('band'),
      });
      return filled + ring(colour('good'), 'none') + stripe;
    }
    case 'finger-tight':
      return ring(colour('worn'), 'none', '4 3');
    case 'loosened': {
      const arm = RADIUS * 0.7;
      const stroke = colour('bad');
      const cross = [-1, 1]
        .map((side) =>
          element('line', {
            x1: x - arm * side,
            y1: y - arm,
            x2: x + arm * side,
            y2: y + arm,
            stroke,
            'stroke-width': 1,
          }),
        )
        .join('');
      return ring(stroke, 'none') + cross;
    }
    case 'due':
      return ring(colour('line'), 'none');
  }
}
