/** The tree of open items: what a release of the log would still ask, by the rule that asks, each leading to its line. */
import {
  type Disposable,
  EventEmitter,
  l10n,
  Range,
  ThemeColor,
  ThemeIcon,
  type TreeDataProvider,
  TreeItem,
  TreeItemCollapsibleState,
  Uri,
  window,
} from 'vscode';
import type { CurrentLog } from './current-log.ts';
import { nameOf } from './new-log.ts';
import type { LogStateResult } from './requests.ts';
import { dueCount } from './status-item.ts';

type Group = LogStateResult['due'][number];
type Item = Group['items'][number];
type Node = Group | Item;

const isGroup = (node: Node): node is Group => 'items' in node;

const icons = {
  error: new ThemeIcon('error', new ThemeColor('list.errorForeground')),
  warning: new ThemeIcon('warning', new ThemeColor('list.warningForeground')),
  information: new ThemeIcon('circle-outline'),
  hint: new ThemeIcon('circle-outline'),
};

/** Creates the view; it is empty, with a message, while there is no log or nothing is due. */
export function createOpenItems(log: CurrentLog): Disposable {
  const changed = new EventEmitter<void>();
  const provider: TreeDataProvider<Node> = {
    onDidChangeTreeData: changed.event,
    getChildren: (node) => {
      if (node === undefined) return [...(log.state?.due ?? [])];
      return isGroup(node) ? [...node.items] : [];
    },
    getTreeItem: (node) => (isGroup(node) ? groupItem(node) : leaf(node)),
  };
  const view = window.createTreeView('witnessmark.openItems', { treeDataProvider: provider });
  const show = () => {
    const { state } = log;
    const due = state === undefined ? 0 : dueCount(state);
    view.badge =
      due === 0 ? undefined : { value: due, tooltip: l10n.t('{0} still due before a release', due) };
    view.description = log.uri === undefined ? '' : nameOf(log.uri);
    // Taken away by an empty text: a property that is deleted is not the view's any more.
    view.message = state?.state != null && due === 0 ? l10n.t('Nothing is due.') : '';
    changed.fire();
  };
  const listener = log.onDidChange(show);
  show();
  return {
    dispose: () => {
      listener.dispose();
      view.dispose();
      changed.dispose();
    },
  };
}

function groupItem(group: Group): TreeItem {
  const item = new TreeItem(capitalised(group.title), TreeItemCollapsibleState.Expanded);
  item.id = group.rule;
  item.description = String(group.items.length);
  item.accessibilityInformation = { label: `${group.title}, ${group.items.length}` };
  return item;
}

function leaf({ message, severity, uri, range }: Item): TreeItem {
  const item = new TreeItem(message);
  item.iconPath = icons[severity];
  item.tooltip = message;
  item.command = {
    title: l10n.t('Go to the line'),
    command: 'vscode.open',
    arguments: [
      Uri.parse(uri),
      {
        selection: new Range(range.start.line, range.start.character, range.end.line, range.end.character),
      },
    ],
  };
  return item;
}

function capitalised(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}
