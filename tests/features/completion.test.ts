/** What is offered at the cursor (`‸`), and what the text is once an offer is taken. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import {
  type CompletionWishes,
  completionsAt,
  type Offer,
  usablePaths,
} from '../../server/features/index.ts';
import { withoutPlaces } from '../../server/features/offer.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { marked } from './marked.ts';

const limits = `limits "Tern 460, issue 3"
assembly bottom-end "Bottom end"
limit crank-runout 0..0.05 mm wear <= 0.08 mm ref "3.1"
limit bore[front rear] @ (top bottom)/(thrust pin) 67.500..67.520 mm wear <= 67.560 mm of cylinder ref "3.2"
limit ring-gap[(front rear)/(top second)] 0.20..0.35 mm ref "3.4"
limit bore-oval[front rear] = out-of-round(bore) <= 0.02 mm
limit skirt[front rear] 67.425..67.440 mm for piston os1
limit main-jet "165" "168" ref "6.2"
limit leak-drop <= 0.05 bar when 0.5 bar, 3 min ref "5.1"
fastener case-m8[1..4] M8 class 8.8 torque 24 ± 2 N·m stages 12 N·m, 24 N·m order 2 3 1 4 lubricant oiled ref "4.1"
fastener hub-nut[1..6] M8 class 8.8 torque 22 ± 2 N·m drag 1.5..6 N·m lock cotter
fastener rod-cap[1..2] M7x1 class 10.9 torque 15 ± 1 N·m angle 60 ± 5 ° once
part cylinder[front rear] "cylinder"
part piston[front rear] "piston"
part crank-seal "crank seal" once facing
joint case-joint sealant grey-rtv fasteners case-m8
inspection pins-flush "Pins flush" needs inspector
inspection crank-free "Crankshaft turns freely"
`;
const bench = `bench "Harbour workshop"
person AQ "Ada Quill" builder
person JM "Jory Marsh" inspector
tool FG1 "old blades" range 0.05..1.00 mm calibrated 2025-01-15 due 2026-01-15
tool TW1 "3/8 click wrench" range 10..60 N·m due 2027-03-02
tool TW2 "1/4 click wrench" range 2..9 N·m due 2027-03-02
tool DT1 "dial test indicator" range 0..0.8 mm due 2027-01-15
sealant grey-rtv "grey RTV" cure 12 h open 10 min torque cured
sealant old-rtv "older RTV" cure 12 h due 2026-01-01
`;
const head = `log "Tern 460 no. 0117"
use "tern.limits"
use "harbour.bench"
machine tern-460 serial "0117" hours 312 h
covers bottom-end
`;
const wishes: CompletionWishes = {
  now: '2026-05-04 09:15',
  snippets: true,
  usable: ['tern.limits', 'harbour.bench', 'old/0116.rebuild', 'gearbox.limits'],
  onlyWanted: false,
};

interface Asked {
  readonly offers: readonly Offer[];
  readonly text: string;
  readonly offset: number;
}

function ask(files: Record<string, string>, how: Partial<CompletionWishes> = {}): Asked {
  const { workspace, path, offset, texts } = marked(files);
  const checked = workspace.check(path)!;
  return { offers: completionsAt(checked, offset, { ...wishes, ...how }), text: texts.get(path)!, offset };
}

/** Asks in a log, in a step with the wrench. */
const inStep = (lines: string, how?: Partial<CompletionWishes>, step = 'with TW1') =>
  ask(
    {
      'tern.limits': limits,
      'harbour.bench': bench,
      'a.rebuild': `${head}step "Work" 2026-05-04 09:00 by AQ ${step}\n${lines}\n`,
    },
    how,
  );
const inLimits = (line: string) =>
  ask({ 'harbour.bench': bench, 'a.limits': `limits "x"\nuse "harbour.bench"\n${line}\n` });
const labels = ({ offers }: Asked) => offers.map(({ label }) => label);
const details = ({ offers }: Asked) => offers.map(({ label, detail }) => `${label}: ${detail ?? ''}`);

/** The line with the cursor once the offer is taken, places to fill left as they first stand. */
function taken({ offers, text, offset }: Asked, label: string): string {
  const offer = offers.find((one) => one.label === label);
  if (offer === undefined) return `no offer ${label} among ${offers.map((one) => one.label).join(', ')}`;
  const insert = offer.snippet === true ? withoutPlaces(offer.insert) : offer.insert;
  const after = text.slice(0, offer.start) + insert + text.slice(offset);
  const from = after.lastIndexOf('\n', offer.start - 1) + 1;
  return after.slice(
    from,
    offer.start + insert.length + after.slice(offer.start + insert.length).indexOf('\n'),
  );
}

describe('words that begin a line', () => {
  test('in a step entries come before declarations', () => {
    const words = labels(inStep('  ‸'));
    expect(words.indexOf('measure')).toBeLessThan(words.indexOf('step'));
    expect(words.indexOf('step')).toBeLessThan(words.indexOf('person'));
    expect(words).not.toContain('log');
  });
  test('before any step there are no entries', () => {
    const words = labels(ask({ 'a.rebuild': 'log "x"\n‸\n' }));
    expect(words).toContain('step');
    expect(words).not.toContain('measure');
    expect(words[0]).toBe('step');
  });
  test('an empty file begins with its opening', () => {
    expect(labels(ask({ 'a.rebuild': '‸' }))[0]).toBe('log');
    expect(labels(ask({ 'a.limits': '‸' }))[0]).toBe('limits');
    expect(labels(ask({ 'a.bench': '‸' }))[0]).toBe('bench');
  });
  test('a table of limits has no entries, a register begins with people and tools', () => {
    expect(labels(inLimits('‸'))).not.toContain('torque');
    expect(labels(ask({ 'a.bench': 'bench "x"\n‸' })).slice(0, 3)).toEqual(['person', 'tool', 'sealant']);
  });
  test('after the release only notes', () => {
    expect(labels(inStep('release JM "done" 2026-05-05\n‸'))).toEqual(['note']);
  });
  test('the word begun is replaced, and what follows is asked for', () => {
    const asked = inStep('  mea‸');
    expect(taken(asked, 'measure')).toBe('  measure ');
    expect(asked.offers.find((offer) => offer.label === 'measure')?.again).toBe(true);
  });
});

describe('targets', () => {
  test('what still lacks readings comes first, with what it lacks', () => {
    const asked = inStep(
      '  measure bore[front] @ top/pin = 67.51 mm\n  measure crank-runout = 0.02 mm\n  measure ‸',
    );
    const found = details(asked);
    expect(found[0]).toBe('bore[front]: 3 places not read yet · 67.500..67.520 mm');
    expect(found).toContain('crank-runout: all read');
    const order = labels(asked);
    expect(order.indexOf('ring-gap[rear/second]')).toBeLessThan(order.indexOf('crank-runout'));
    expect(order.indexOf('crank-runout')).toBeLessThan(order.indexOf('bore-oval'));
  });
  test('members that lack a reading before the others', () => {
    expect(details(inStep('  measure ring-gap[front/top] = 0.3 mm\n  measure ring-gap[‸'))).toEqual([
      'front/second: not read yet',
      'rear/top: not read yet',
      'rear/second: not read yet',
      'all: 4 of them; no order claimed',
      'front/top: ',
    ]);
  });
  test('a member half written is replaced whole, and one written is not offered again', () => {
    const asked = inStep('  measure ring-gap[front/top rear/s‸] = 0.3 mm');
    expect(labels(asked)).toEqual(['front/second', 'rear/top', 'rear/second']);
    expect(taken(asked, 'rear/second')).toBe('  measure ring-gap[front/top rear/second] = 0.3 mm');
  });
  test('one segment inside parentheses, and behind them', () => {
    const asked = inStep('  measure ring-gap[(front rear)/(top s‸)] = 0.3 mm');
    expect(labels(asked)).toEqual(['second']);
    expect(taken(asked, 'second')).toBe('  measure ring-gap[(front rear)/(top second)] = 0.3 mm');
    expect(labels(inStep('  measure ring-gap[(‸'))).toEqual(['front', 'rear']);
    expect(labels(inStep('  measure ring-gap[(front rear)/‸'))).toEqual(['top', 'second']);
    expect(labels(inStep('  measure bore[front] @ (top ‸'))).toEqual(['bottom']);
    expect(taken(inStep('  measure bore[front] @ (top bottom)/p‸ = 67.51 mm'), 'pin')).toBe(
      '  measure bore[front] @ (top bottom)/pin = 67.51 mm',
    );
  });
  test('places that are not read yet', () => {
    expect(details(inStep('  measure bore[rear] @ top/pin = 67.51 mm\n  measure bore[rear] @ ‸'))).toEqual([
      'top/thrust: not read yet',
      'bottom/thrust: not read yet',
      'bottom/pin: not read yet',
      'top/pin: ',
    ]);
  });
  test('groups with fasteners still due, and their members in the order asked for', () => {
    expect(details(inStep('  torque case-m8[2] to 24 N·m\n  torque ‸')).slice(0, 2)).toEqual([
      'case-m8: 1, 3 and 4 due · 22..26 N·m',
      'hub-nut: 1..6 due · 20..24 N·m',
    ]);
    expect(labels(inStep('  torque case-m8[2] to 24 N·m\n  torque case-m8[2 ‸'))).toEqual(['3', '1', '4']);
    expect(labels(inStep('  torque case-m8[‸'))).toEqual(['2', '3', '1', '4', 'all', 'ordered']);
  });
  test('loosen begins with what is torqued; fit with what is out', () => {
    expect(labels(inStep('  torque rod-cap to 15 N·m angle 60 °\n  loosen ‸'))[0]).toBe('rod-cap');
    expect(labels(inStep('  remove piston[rear]\n  fit ‸'))[0]).toBe('piston');
  });
  test('accept begins with what is past its limit', () => {
    const offered = labels(inStep('  measure crank-runout = 0.09 mm\n  accept ‸'));
    expect(offered[0]).toBe('crank-runout');
    // A joint is never past a limit; its fasteners are.
    expect(offered).toContain('case-m8');
    expect(offered).not.toContain('case-joint');
  });
  test('inspections that are not done, items that are open, joints to seal', () => {
    expect(labels(inStep('  inspect pins-flush pass by JM\n  inspect ‸'))).toEqual([
      'crank-free',
      'pins-flush',
    ]);
    expect(labels(inStep('  open R1 "reed stop"\n  open R2 "jet"\n  close R1\n  close ‸'))).toEqual(['R2']);
    expect(labels(inStep('  apply grey-rtv to ‸'))).toEqual([
      'case-joint',
      'case-m8',
      'hub-nut',
      'rod-cap',
      'cylinder',
      'piston',
      'crank-seal',
    ]);
    expect(labels(inStep('  apply cotter to ‸'))).toEqual(['hub-nut', 'case-m8', 'rod-cap']);
    expect(labels(inStep('  apply stripe to case-m8, ‸'))).toEqual(['hub-nut', 'rod-cap']);
    expect(labels(inStep('  apply ‸'))).toEqual(['grey-rtv', 'cotter', 'stripe', 'old-rtv']);
  });
});

describe('tools and people', () => {
  test('what reaches and is in calibration comes first, and each says why', () => {
    expect(details(inStep('  torque case-m8[all] to 24 N·m with ‸'))).toEqual([
      'TW1: 3/8 click wrench · 10..60 N·m · calibration due 2027-03-02',
      'TW2: 1/4 click wrench · 2..9 N·m · calibration due 2027-03-02 · does not reach',
      'FG1: old blades · 0.05..1.00 mm · calibration ran out 2026-01-15',
      'DT1: dial test indicator · 0..0.8 mm · calibration due 2027-01-15',
    ]);
    expect(labels(inStep('  measure crank-runout = 0.02 mm with ‸')).slice(0, 2)).toEqual(['DT1', 'FG1']);
    expect(labels(inStep('  measure crank-runout with ‸')).slice(0, 2)).toEqual(['DT1', 'FG1']);
  });
  test('the day of the step decides, not today', () => {
    const asked = ask({
      'harbour.bench': bench,
      'a.rebuild': 'log "x"\nuse "harbour.bench"\nstep "w" 2025-06-01 with ‸\n',
    });
    expect(details(asked)[0]).toContain('FG1: old blades · 0.05..1.00 mm · calibration');
    expect(details(asked).find((one) => one.startsWith('FG1'))).not.toContain('ran out');
  });
  test('an inspector where one is needed', () => {
    expect(labels(inStep('  inspect pins-flush pass by ‸'))).toEqual(['JM', 'AQ']);
    expect(labels(inStep('  inspect crank-free pass by ‸'))).toEqual(['AQ', 'JM']);
    expect(labels(inStep('  accept crank-runout because "x" by ‸'))).toEqual(['JM', 'AQ']);
    expect(labels(inStep('  measure crank-runout = 0.02 mm by AQ, ‸'))).toEqual(['JM']);
  });
});

describe('values', () => {
  test('the unit of the limit first, then others of its kind', () => {
    expect(labels(inStep('  measure crank-runout = 0.02 ‸')).slice(0, 3)).toEqual(['mm', 'm', 'cm']);
    expect(taken(inStep('  measure crank-runout = 0.02‸'), 'mm')).toBe('  measure crank-runout = 0.02 mm');
    expect(taken(inStep('  measure crank-runout = 0.02 m‸ with DT1'), 'mm')).toBe(
      '  measure crank-runout = 0.02 mm with DT1',
    );
    expect(labels(inStep('  torque case-m8[1] to 24 ‸'))[0]).toBe('N·m');
    expect(labels(inStep('  run 20 ‸'))[0]).toBe('min');
  });
  test('an equivalent is in another unit, the other system first; a clause does not stand in it', () => {
    const asked = inStep('  torque case-m8[1] to 24 N·m (‸');
    expect(details(asked)).toEqual(['17.7 ft·lbf: worked out']);
    const units = labels(inStep('  measure crank-runout = 0.02 mm (0.8 ‸'));
    expect(units[0]).toBe('in');
    expect(units).not.toContain('mm');
    expect(units).not.toContain('with');
    expect(labels(inStep('  measure crank-runout = 0.02 mm (0.8 thou) ‸'))).toContain('with');
  });
  test('the next stage first', () => {
    expect(details(inStep('  torque case-m8[ordered] to 12 N·m\n  torque case-m8[ordered] to ‸'))).toEqual([
      '24 N·m: final: 22..26 N·m',
      '12 N·m: stage 1 of 2',
    ]);
  });
  test('words that the limit allows, quoted or with the quote open', () => {
    expect(labels(inStep('  measure main-jet = ‸'))).toEqual(['"165"', '"168"']);
    expect(taken(inStep('  measure main-jet = "1‸"'), '165')).toBe('  measure main-jet = "165"');
  });
  test('conditions as the limit states them', () => {
    expect(labels(inStep('  measure leak-drop = 0.02 bar when ‸'))).toEqual(['0.5 bar, 3 min']);
    expect(labels(inStep('  measure leak-drop = 0.02 bar when 0.5 bar, 3 ‸'))[0]).toBe('min');
  });
  test('grades that limits are given for; conditions of a fit', () => {
    expect(labels(inStep('  fit piston[rear] new grade ‸'))).toEqual(['os1']);
    expect(labels(inStep('  fit piston[rear] ‸'))).toEqual(
      expect.arrayContaining(['new', 'reused', 'reworked']),
    );
    expect(labels(inStep('  fit crank-seal new ‸'))[0]).toBe('facing');
  });
  test('files that a `use` may name, without those used', () => {
    const asked = ask({ 'a.rebuild': 'log "x"\nuse "tern.limits"\nuse ‸' });
    // One table is there already: the register comes next.
    expect(labels(asked)).toEqual(['"harbour.bench"', '"gearbox.limits"', '"old/0116.rebuild"']);
    expect(taken(ask({ 'a.rebuild': 'log "x"\nuse "gear‸"\n' }), 'gearbox.limits')).toBe(
      'use "gearbox.limits"',
    );
  });
  test('paths as written from the file, the nearest first', () => {
    expect(
      usablePaths(['w/a.limits', 'w/logs/a.rebuild', 'w/logs/b.bench', 'v/c.limits'], 'w/logs/a.rebuild'),
    ).toEqual(['b.bench', '../a.limits', '../../v/c.limits']);
  });
  test('when', () => {
    expect(labels(inStep('  finger-tight case-m8 at ‸'))).toEqual(['09:15']);
    expect(labels(ask({ 'a.rebuild': 'log "x"\nstep "w" ‸' }))).toEqual(['2026-05-04 09:15', '2026-05-04']);
  });
  test('declarations take words of the trade', () => {
    expect(labels(inLimits('fastener a[1..4] M8 order ‸'))).toEqual(['cross', 'centre-out', 'any']);
    expect(labels(inLimits('fastener a[1..4] M8 lock ‸'))).toEqual(
      expect.arrayContaining(['cotter', 'grey-rtv']),
    );
    expect(labels(inLimits('fastener a[1..4] M8 class ‸'))).toContain('8.8');
    expect(labels(inLimits('part p\nlimit l 1..2 mm of ‸'))).toContain('p');
  });
});

describe('what a limit is worked out from', () => {
  const asked = (line: string, how?: Partial<CompletionWishes>) =>
    labels(
      ask(
        { 'a.limits': `limits "x"\npart piston\nlimit bore 1..2 mm\nlimit skirt[1 2] 1..2 mm\n${line}\n` },
        how,
      ),
    );
  test.each([
    ['limit gap = ‸', 'bore'],
    ['limit gap = bore - ‸', 'bore'],
    ['limit gap = (bore - skirt[1]) * ‸', 'bore'],
    ['limit gap = bore - skirt[1] ‸', '0.00..0.00 mm'],
    ['limit gap = range(skirt[all]) ‸', '0.00..0.00 mm'],
    ['limit gap = bore - skirt 0.05..0.09 ‸', 'mm'],
    ['limit gap = bore * 2 + 3 mm <= 0.09 ‸', 'mm'],
    ['limit gap 1..2 mm of ‸', 'piston'],
  ])('%j begins with %j', (line, first) => {
    expect(asked(line)[0]).toBe(first);
  });
  test('behind the limit it is over', () => {
    expect(asked('limit gap = bore - skirt[1] 0.05..0.09 mm ‸', { onlyWanted: true })).toEqual([]);
    expect(asked('limit gap = bore - skirt[1] 0.05..0.09 mm ‸')[0]).toBe('wear');
    expect(asked('limit gap 1..2 mm of ‸')).toEqual(['piston']);
  });
});

describe('clauses', () => {
  test('those still allowed, the one that must stand first', () => {
    const words = labels(inStep('  torque case-m8[1] ‸'));
    expect(words[0]).toBe('to');
    expect(labels(inStep('  torque case-m8[1] to 24 N·m ‸ with TW1'))).not.toContain('with');
    expect(labels(inStep('  torque hub-nut[1] to 22 N·m ‸'))[0]).toBe('drag');
  });
  test('no unit of cells beside a value, where `in` would be inches', () => {
    expect(labels(inStep('  measure crank-runout ‸'))).toContain('in');
    expect(labels(inStep('  measure leak-drop = 0.05 ‸'))).not.toContain('in');
  });
  test('in the middle of a line, and on a line that is broken', () => {
    expect(labels(inStep('  measure crank-runout = 0.02 mm ‸ wiht DT1'))).toContain('with');
    expect(labels(inStep('  torque case-m8[1 2 to 24 N·m w‸'))).toContain('with');
    expect(labels(inStep('  remove piston[rear] ‸'))).toEqual([
      'scrap',
      'with',
      'by',
      'at',
      'temp',
      'because',
    ]);
  });
  test('a continuation line goes on with the statement', () => {
    expect(labels(inStep('  torque case-m8[1] to 24 N·m\n    ... ‸'))).toContain('lubricant');
    expect(labels(inStep('  torque case-m8[1] to 24 N·m\n    ... ‸'))).not.toContain('to');
  });
  test('a reason comes with its quotes', () => {
    expect(taken(inStep('  loosen case-m8[3] be‸'), 'because')).toBe('  loosen case-m8[3] because ""');
  });
});

describe('templates', () => {
  test('a whole group in its order and stages', () => {
    expect(taken(inStep('  ‸'), 'torque case-m8: the whole group')).toBe(
      '  torque case-m8[ordered] to 12 N·m\ntorque case-m8[ordered] to 24 N·m',
    );
    expect(taken(inStep('  torque ‸', {}, ''), 'hub-nut: the whole group')).toBe(
      '  torque hub-nut[all] to 22 N·m drag ? N·m with TW1\napply cotter to hub-nut[all]',
    );
    expect(taken(inStep('  ‸'), 'torque rod-cap: the whole group')).toBe(
      '  torque rod-cap[all] to 15 N·m angle 60 °',
    );
  });
  test('what is left of a group, from the stage it has', () => {
    expect(
      taken(
        inStep('  torque case-m8[ordered] to 12 N·m\n  torque case-m8[2] to 24 N·m\n  ‸'),
        'torque case-m8: the 3 left',
      ),
    ).toBe('  torque case-m8[3 1 4] to 24 N·m');
  });
  test('a table with the places of the limit', () => {
    const table = [
      '  measure bore[rear] in mm',
      '  |        | thrust | pin |',
      '  | top    | ?      | ?   |',
      '  | bottom | ?      | ?   |',
    ].join('\n');
    expect(taken(inStep('  ‸'), 'measure bore[rear]: table')).toBe(table);
    expect(taken(inStep('  measure ‸'), 'bore[rear]: table')).toBe(table);
    expect(taken(inStep('  measure bore[rear] ‸'), 'in mm')).toBe(table);
  });
  test('a table of members, and only of what is missing', () => {
    expect(taken(inStep('  measure ring-gap[front/top] = 0.3 mm\n  ‸'), 'measure ring-gap: table')).toBe(
      [
        '  measure ring-gap in mm',
        '  |       | second | top |',
        '  | front | ?      |     |',
        '  | rear  | ?      | ?   |',
      ].join('\n'),
    );
  });
  test('plain text where the editor fills no places in', () => {
    const { offers } = inStep('  ‸', { snippets: false });
    const table = offers.find((offer) => offer.label === 'measure bore[rear]: table');
    expect(table?.snippet).toBeUndefined();
    expect(table?.insert).toContain('| top    | ?      | ?   |');
    expect(offers.every((offer) => offer.snippet === undefined && !/\$\{|\$\d/.test(offer.insert))).toBe(
      true,
    );
  });
});

describe('rows', () => {
  test('headings that are not there yet', () => {
    expect(labels(inStep('  measure bore[rear] in mm\n    |  | thrust | ‸'))).toEqual(['pin']);
    expect(
      labels(inStep('  measure bore[rear] in mm\n    |  | thrust | pin |\n    | top | 1 | 2 |\n    | ‸')),
    ).toEqual(['bottom']);
    expect(labels(inStep('  measure bore[rear] in mm\n    |  | thrust | pin |\n    | top | ‸'))).toEqual([]);
  });
  test('of all members with their places, the last segment in the first row', () => {
    expect(labels(inStep('  measure bore in mm\n    |  | ‸'))).toEqual(['thrust', 'pin']);
    const asked = inStep(
      '  measure bore in mm\n    |  | thrust | pin |\n    | front/top | 1 | 2 |\n    | front/‸',
    );
    expect(labels(asked)).toEqual(['front/bottom', 'rear/top', 'rear/bottom']);
    expect(taken(asked, 'front/bottom')).toBe('    | front/bottom');
  });
});

describe('quiet', () => {
  test.each([
    '  note some text with ‸',
    '  measure crank-runout = 0.02 mm # with ‸',
    '  loosen case-m8[1] because "with ‸',
    '  loosen case-m8[1] because "over the mark"‸',
    '  fit crank-seal new pn "TN-2217"‸',
    'frobnicate ‸',
    'person ‸',
  ])('nothing at %j', (line) => {
    expect(labels(inStep(line))).toEqual([]);
  });
  test.each([
    '  measure crank-runout = 0.02 mm ‸',
    '  remove piston[rear] ‸',
    '  ‸',
    '  inspect pins-flush pass by JM ‸',
  ])('a blank after a whole line asks for nothing: %j', (line) => {
    expect(labels(inStep(line, { onlyWanted: true }))).toEqual([]);
  });
  test.each([
    ['  measure crank-runout = 0.02 mm with ‸', 'DT1'],
    ['  torque case-m8[1] to ‸', '12 N·m'],
    ['  torque ‸', 'case-m8'],
    ['  measure crank-runout ‸', '='],
    ['  torque case-m8[1] ‸', 'to'],
    ['  apply grey-rtv ‸', 'to'],
    ['  fit crank-seal facing "in" ‸', 'new'],
  ])('a blank after a keyword, or before what the line cannot do without, asks for it: %j', (line, first) => {
    expect(labels(inStep(line, { onlyWanted: true }))[0]).toBe(first);
  });
  test('any cut of a sample answers', () => {
    const text = `${head}step "Work" 2026-05-04 09:00 by AQ with TW1\n  measure bore[(front rear)] @ (top bottom)/thrust = 67.51 mm (2.6579 in) with BG1 as found\n  torque case-m8[2 3 1 4] to 24 N·m angle 60 ° at 10:00 because "x \\" y"\n  measure ring-gap in mm\n    | | top |\n    | front | 0.3 |\nsign AQ "done" 2026-05-04`;
    const files = (cut: string) => ({ 'tern.limits': limits, 'harbour.bench': bench, 'a.rebuild': cut });
    for (let at = 0; at <= text.length; at++) {
      for (const rest of [text.slice(at), ''])
        for (const { start, end } of ask(files(`${text.slice(0, at)}‸${rest}`)).offers) {
          expect(end).toBe(at);
          expect(start).toBeLessThanOrEqual(at);
          expect(text.slice(start, at)).not.toMatch(/\n/);
        }
    }
  });
});

describe('lines by their target', () => {
  test('a name where a line begins leads to the line that it is for', () => {
    const asked = inStep('  remove piston[rear]\n  crank‸');
    const found = asked.offers.filter(({ kind }) => kind === 'target');
    expect(found.map(({ label, detail }) => `${label}: ${detail}`)).toEqual(
      expect.arrayContaining([
        'measure crank-runout: not read yet · 0..0.05 mm',
        'inspect pins-flush: Pins flush · by an inspector',
        'inspect crank-free: Crankshaft turns freely',
        'torque hub-nut: 1..6 due · 20..24 N·m',
        'fit piston: piston · rear out',
        'remove crank-seal: crank seal',
      ]),
    );
    expect(taken(asked, 'measure crank-runout')).toBe('  measure crank-runout ');
    expect(asked.offers.find(({ label }) => label === 'measure crank-runout')).toMatchObject({
      filter: 'crank-runout',
      again: true,
    });
  });
  test('the words of the language come before them, and before a step there are none', () => {
    const asked = inStep('  ‸').offers;
    const first = asked.findIndex(({ label }) => label === 'measure crank-runout');
    expect(asked.slice(first).every(({ label }) => label.includes(' '))).toBe(true);
    expect(
      labels(ask({ 'tern.limits': limits, 'a.rebuild': 'log "x"\nuse "tern.limits"\ncr‸' })),
    ).not.toContain('measure crank-runout');
  });
});

describe('in a log that is half written', () => {
  const folder = 'samples/tern-460/';
  const files = ['tern-460.limits', 'harbour.bench'].map(
    (name) => [name, readFileSync(folder + name, 'utf8')] as const,
  );
  /** A released log up to its step that measures the crankshaft, where the person writes on. */
  const lines = readFileSync(`${folder}0117-second-rebuild.rebuild`, 'utf8').split('\n');
  const written = lines.slice(0, lines.findIndex((line) => line.startsWith('step "Measure the crank')) + 1);
  const workspace = createWorkspace();
  for (const [path, text] of files) workspace.set(path, text);

  const pieces = /"[^"]*"|[\p{L}\p{N}._·-]+|[^\s]/gu;
  /** The log with one line broken: a piece of it gone, all behind a piece gone, or a piece begun. */
  function* broken(): Generator<readonly [what: string, log: readonly string[]]> {
    // What the files say is gone with the line that names them.
    for (const [i, line] of written.entries())
      for (const { 0: piece, index } of line.matchAll(pieces))
        for (const instead of [
          line.slice(0, index) + line.slice(index + piece.length),
          line.slice(0, index),
          line.slice(0, index + Math.ceil(piece.length / 2)),
        ])
          if (!/^\s*use/.test(line)) yield [instead, written.with(i, instead)];
  }
  /** What is offered at the end of later lines, each half written as well. */
  const later: Readonly<Record<string, readonly string[]>> = {
    '  c': ['measure', 'step', 'measure crank-runout', 'torque case-m8'],
    '  measure ': ['crank-runout', 'bore[front]'],
    '  torque ': ['case-m8', 'hub-nut'],
    '  measure crank-runout = 0.03 ': ['mm'],
    '  measure crank-runout = 0.03 mm with ': ['DT1', 'TW1'],
    '  measure crank-runout = 0.03 mm by ': ['AQ'],
  };
  test('later lines are helped on, whatever is broken above', () => {
    for (const [what, log] of broken()) {
      let text = log.join('\n');
      const ends = Object.keys(later).map((line) => {
        text += `\n${line}`;
        return text.length;
      });
      workspace.set('a.rebuild', `${text}\n`);
      for (const path of workspace.wanted()) workspace.markAbsent(path);
      const checked = workspace.check('a.rebuild')!;
      for (const [i, [line, wanted]] of Object.entries(later).entries()) {
        const offered = completionsAt(checked, ends[i]!, wishes).map(({ label }) => label);
        expect({ what, line, lacks: wanted.filter((label) => !offered.includes(label)) }).toEqual({
          what,
          line,
          lacks: [],
        });
      }
    }
  });
});
