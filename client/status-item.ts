/** The status item: whether the log is open, signed or released, and how much is still due. */
import { type Disposable, l10n, MarkdownString, StatusBarAlignment, ThemeColor, window } from 'vscode';
import type { CurrentLog } from './current-log.ts';
import type { LogStateResult } from './requests.ts';

const icons = { open: '$(tools)', signed: '$(pencil)', released: '$(verified)' } as const;

/** Shows the item while there is a log; a click goes to the open items. */
export function createStatusItem(log: CurrentLog): Disposable {
  const item = window.createStatusBarItem('witnessmark.state', StatusBarAlignment.Left, 0);
  item.name = l10n.t('Rebuild log');
  item.command = 'witnessmark.openItems.focus';
  const show = () => {
    const { state } = log;
    if (state?.state == null) {
      item.hide();
      return;
    }
    const words = { open: l10n.t('open'), signed: l10n.t('signed'), released: l10n.t('released') };
    const due = dueCount(state);
    const dueText = due === 0 ? l10n.t('nothing due') : l10n.t('{0} due', due);
    item.text = `${icons[state.state]} ${words[state.state]}, ${dueText}`;
    item.accessibilityInformation = { label: `${l10n.t('Rebuild log')}: ${words[state.state]}, ${dueText}` };
    item.tooltip = tooltip(state);
    item.backgroundColor =
      state.state === 'released' && state.counts.error > 0
        ? new ThemeColor('statusBarItem.errorBackground')
        : undefined;
    item.show();
  };
  const listener = log.onDidChange(show);
  show();
  return {
    dispose: () => {
      listener.dispose();
      item.dispose();
    },
  };
}

/** How many things a release would still ask for. */
export function dueCount({ due }: LogStateResult): number {
  return due.reduce((sum, group) => sum + group.items.length, 0);
}

function tooltip({ counts, due }: LogStateResult): MarkdownString {
  const text = new MarkdownString();
  text.appendText(
    l10n.t('{0} errors, {1} warnings, {2} for information', counts.error, counts.warning, counts.information),
  );
  if (due.length === 0) return text;
  text.appendMarkdown('\n\n');
  text.appendText(l10n.t('Still due:'));
  text.appendMarkdown('\n');
  for (const group of due) {
    text.appendMarkdown('\n- ');
    text.appendText(`${group.title}: ${group.items.length}`);
  }
  return text;
}
