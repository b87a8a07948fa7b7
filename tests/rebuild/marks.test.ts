/** Marks: no layout breaks one, any changed fact does, and only the one that covers it. */
import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Block, format, parse } from '../../grammar/index.ts';
import { fileDigest, markText } from '../../server/rebuild/index.ts';
import { digestOf, followMarks } from '../../server/rebuild/marks.ts';
import { anyFile } from '../harness/arbitraries.ts';

/** SHA-256 by another implementation than the one that ships. */
const sha256 = (text: string) => createHash('sha256').update(text, 'utf8').digest('hex');

const closingsOf = (blocks: readonly Block[]) =>
  blocks.filter(({ statement }) => statement?.kind === 'sign' || statement?.kind === 'release');
const chainOf = (text: string) => {
  const { blocks } = parse(text);
  return followMarks(blocks, closingsOf(blocks));
};

// NIST FIPS 180-4, example values for SHA-256 ("abc", and the message of 448 bits), computed through node:crypto.
test('the digest is SHA-256 of the text that LANGUAGE.md tells, in UTF-8', () => {
  const text = 'log “Été”\n  measure  a = 24Nm # so\nnote 67·5 ± 😀\n';
  expect(markText(parse(text).blocks)).toBe('log "Été"\nmeasure a = 24 N·m\nnote 67·5 ± 😀\n');
  expect(digestOf(parse(text).blocks)).toBe(sha256('log "Été"\nmeasure a = 24 N·m\nnote 67·5 ± 😀\n'));
  expect(digestOf(parse(text).blocks, '9f3c0d1e7a55b2c4')).toBe(
    sha256('mark 9f3c0d1e7a55b2c4\nlog "Été"\nmeasure a = 24 N·m\nnote 67·5 ± 😀\n'),
  );
});

test('an empty file has the digest of nothing', () => {
  // FIPS 180-4: SHA-256 of the empty message, as NIST's example values give it.
  expect(fileDigest(parse(''))).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855');
  expect(fileDigest(parse('\n# nothing but a comment\n'))).toBe(fileDigest(parse('')));
});

/** Files without marks of their own, whose statements are all read whole. */
const unmarkedFile = anyFile.filter(({ tidy }) => !/\bmark\b|#/.test(tidy));

describe('layout', () => {
  test('blanks, comments, columns, the order of clauses, line breaks and a byte order mark change no digest', () => {
    fc.assert(
      fc.property(anyFile, ({ tidy, untidy }) => {
        const digest = fileDigest(parse(tidy));
        const plain = untidy.replace(/^\ufeff/, '').replaceAll('\r\n', '\n');
        for (const text of [
          untidy,
          format(parse(untidy)),
          plain,
          plain.replaceAll('\n', '\r\n'),
          `\ufeff${plain}`,
        ])
          expect(fileDigest(parse(text))).toBe(digest);
      }),
      { numRuns: 120 },
    );
  });

  test('continuations: the same clauses on one line or on several', () => {
    const one = parse('torque case-m8[1 2] to 24 N·m lubricant oiled with TW1 by AQ\n');
    const three = parse(
      'torque case-m8[1 2] to 24 N·m\n  ... lubricant oiled # here\n  ... by AQ with TW1\n',
    );
    expect(fileDigest(three)).toBe(fileDigest(one));
  });
});

describe('facts', () => {
  test('a changed letter or digit, a line taken out, doubled or moved changes the digest', () => {
    fc.assert(
      fc.property(unmarkedFile, fc.nat(), fc.nat(), ({ tidy }, a, b) => {
        const { blocks } = parse(tidy);
        const digest = digestOf(blocks);
        const statements = blocks.filter(({ statement }) => statement !== undefined);
        const at = a % statements.length;
        const without = statements.toSpliced(at, 1);
        expect(digestOf(without)).not.toBe(digest);
        expect(digestOf(statements.toSpliced(at, 0, statements[at]!))).not.toBe(digest);
        const moved = without.toSpliced(b % (without.length + 1), 0, statements[at]!);
        if (markText(moved) !== markText(statements)) expect(digestOf(moved)).not.toBe(digest);

        const places = [...tidy.matchAll(/[0-9a-zA-Z]/g)].map((match) => match.index);
        const place = places[b % places.length]!;
        const other = /[0-9]/.test(tidy[place]!)
          ? String((Number(tidy[place]) + 1) % 10)
          : tidy[place] === 'x'
            ? 'y'
            : 'x';
        const changed = `${tidy.slice(0, place)}${other}${tidy.slice(place + 1)}`;
        if (!/\bmark\b/.test(changed))
          expect([changed, fileDigest(parse(changed))]).not.toEqual([changed, digest]);
      }),
      { numRuns: 200 },
    );
  });
});

/** A log of several parts, each signed and marked. */
const markedLog = fc.array(unmarkedFile, { minLength: 1, maxLength: 4 }).map((parts) => {
  let text = '';
  const ends: number[] = [];
  for (const [i, { untidy }] of parts.entries()) {
    text += `${untidy.replace(/^\ufeff/, '').replaceAll('\r\n', '\n')}\nsign AQ "part ${i}" 2026-05-02 16:00`;
    const { blocks } = parse(text);
    const before = chainOf(text).spans.at(-1);
    const from = before === undefined ? 0 : blocks.findIndex(({ start }) => start > before.block.start);
    text += ` mark ${digestOf(blocks.slice(from), before?.mark.text).slice(0, i % 2 === 0 ? 16 : 64)}\n`;
    ends.push(text.length);
  }
  return { text, ends };
});

describe('the chain', () => {
  test('every mark holds, with 16 digits and with 64, however the log is laid out', () => {
    fc.assert(
      fc.property(markedLog, ({ text, ends }) => {
        for (const one of [text, format(parse(text)), text.replaceAll('\n', '\r\n')]) {
          const { spans } = chainOf(one);
          expect(spans.map(({ holds }) => holds)).toEqual(ends.map(() => true));
        }
      }),
      { numRuns: 30 },
    );
  });

  test('a line put in breaks the mark below it, and no other', () => {
    fc.assert(
      fc.property(markedLog, fc.nat(), ({ text, ends }, choice) => {
        const broken = choice % ends.length;
        const start = broken === 0 ? 0 : ends[broken - 1]!;
        const { spans } = chainOf(`${text.slice(0, start)}note put in\n${text.slice(start)}`);
        expect(spans.map(({ holds }) => holds)).toEqual(ends.map((_, i) => i !== broken));
        expect(spans[broken]!.cause).toBe(broken === ends.length - 1 ? undefined : 'text');
      }),
      { numRuns: 30 },
    );
  });

  test('digits of a mark that were changed are told from a text that was', () => {
    fc.assert(
      fc.property(
        markedLog.filter(({ ends }) => ends.length > 1),
        ({ text }) => {
          const first = chainOf(text).spans[0]!;
          const at = first.block.start + first.mark.start;
          const digit = text[at] === '0' ? '1' : '0';
          const { spans } = chainOf(text.slice(0, at) + digit + text.slice(at + 1));
          expect(spans.map(({ holds }) => holds)).toEqual(spans.map((_, i) => i > 0));
          expect(spans[0]!.cause).toBe('digits');
        },
      ),
      { numRuns: 20 },
    );
  });

  test('what stands below the last mark is nobody’s business yet', () => {
    fc.assert(
      fc.property(markedLog, unmarkedFile, ({ text, ends }, { tidy }) => {
        const { spans } = chainOf(text + tidy.replace(/^\ufeff/, ''));
        expect(spans.map(({ holds }) => holds)).toEqual(ends.map(() => true));
      }),
      { numRuns: 20 },
    );
  });

  test('a chain carried over an edit is the chain of the new text', () => {
    fc.assert(
      fc.property(markedLog, fc.nat(), ({ text }, choice) => {
        const old = parse(text);
        const at = choice % (text.length + 1);
        const changed = `${text.slice(0, at)}7${text.slice(at)}`;
        const before = followMarks(old.blocks, closingsOf(old.blocks));
        const { blocks } = parse(changed, old);
        const carried = followMarks(blocks, closingsOf(blocks), before);
        const fresh = chainOf(changed);
        const told = ({ spans }: typeof fresh) =>
          spans.map(({ holds, digest, cause }) => ({ holds, digest, cause }));
        expect(told(carried)).toEqual(told(fresh));
      }),
      { numRuns: 30 },
    );
  });
});
