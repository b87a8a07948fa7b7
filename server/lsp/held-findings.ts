/**
 * While a person writes a line, what is newly raised waits: half a number is out of every limit, half a name is declared
 * nowhere, and squiggles that come and go with each key tell nothing. What is mended goes at once, what was shown stays
 * up to date, and any other edit is told of at once.
 */
import type { Finding } from '../rebuild/index.ts';

/** Who has not typed for so many ms has written what was meant. */
const pause = 400;

export interface HeldFindings {
  /** An edit was made that can change what is found in the file: a key of somebody who types, or something else. */
  edited(path: string, typing: boolean): void;
  /** Those of the findings to show now. */
  choose(path: string, findings: readonly Finding[]): readonly Finding[];
  /** The file is no longer open. */
  forget(path: string): void;
}

/** Calls `release` with files whose findings waited, once nobody types. */
export function holdFindings(release: (path: string) => void): HeldFindings {
  /** What was shown last of each file. */
  const shown = new Map<string, readonly Finding[]>();
  /** Files edited since the last pause: whether by typing alone since they were shown. */
  const edits = new Map<string, { readonly typing: boolean; told: boolean }>();
  const waiting = new Set<string>();
  let timer: ReturnType<typeof setTimeout> | undefined;

  function waitForPause(): void {
    clearTimeout(timer);
    timer = setTimeout(() => {
      edits.clear();
      for (const path of [...waiting]) release(path);
    }, pause);
  }

  function show(path: string, findings: readonly Finding[]): readonly Finding[] {
    shown.set(path, findings);
    return findings;
  }

  return {
    edited(path, typing) {
      const last = edits.get(path);
      edits.set(path, { typing: typing && (last?.told !== false || last.typing), told: false });
      waitForPause();
    },
    choose(path, findings) {
      const edit = edits.get(path);
      if (edit !== undefined) edit.told = true;
      const before = edit?.typing === true ? shown.get(path) : undefined;
      if (before === undefined) {
        waiting.delete(path);
        return show(path, findings);
      }
      const known = knownOf(findings, before);
      if (known.length < findings.length) {
        waiting.add(path);
        waitForPause();
      }
      return show(path, known);
    },
    forget(path) {
      shown.delete(path);
      edits.delete(path);
      waiting.delete(path);
    },
  };
}

/** Those that were there before, or stand for one that was: few are not the same object from one digit to the next. */
function knownOf(findings: readonly Finding[], before: readonly Finding[]): readonly Finding[] {
  const [now, then] = [new Set(findings), new Set(before)];
  const gone = new Map<string, number>();
  for (const one of before) if (!now.has(one)) gone.set(keyOf(one), (gone.get(keyOf(one)) ?? 0) + 1);
  return findings.filter((one) => {
    if (then.has(one)) return true;
    const count = gone.get(keyOf(one)) ?? 0;
    gone.set(keyOf(one), count - 1);
    return count > 0;
  });
}

/** The same while a line is typed on: what is said of it may change with every digit. */
function keyOf({ rule, at }: Finding): string {
  return `${rule} ${at.path} ${at.block.line}`;
}

/**
 * Whether an edit is a key of somebody who writes a line: one letter more or less at its end (or a quote or bracket that
 * the editor closes by itself), `after` being what stands between it and the line break. A key amid what is written
 * already is told of at once.
 */
export function isTyping(inserted: string, removed: string, after: string): boolean {
  const isKey =
    removed === '' ? /^(?:.|""|\[\]|\(\))$/u.test(inserted) : inserted === '' && /^.$/u.test(removed);
  return isKey && /^[\s"\])|]*$/.test(after);
}
