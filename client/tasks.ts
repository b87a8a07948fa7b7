/** The task 'check': the command line on the whole folder, its findings in the Problems view. */
import {
  type Disposable,
  type ExtensionContext,
  l10n,
  ProcessExecution,
  Task,
  TaskGroup,
  TaskScope,
  tasks,
  Uri,
} from 'vscode';

const type = 'witnessmark';

/** Offers the task; it runs the command line that comes with the extension, on the editor's own Node. */
export function registerCheckTask(context: ExtensionContext): Disposable {
  const command = Uri.joinPath(context.extensionUri, 'dist', 'cli.cjs').fsPath;
  const make = (definition: Task['definition'], scope: Task['scope']): Task => {
    const task = new Task(
      definition,
      scope ?? TaskScope.Workspace,
      l10n.t('check all logs'),
      'Witnessmark',
      new ProcessExecution(process.execPath, [command, 'check', '--format', 'text'], {
        env: { ELECTRON_RUN_AS_NODE: '1', NO_COLOR: '1' },
      }),
      ['$witnessmark', '$witnessmark-information'],
    );
    task.group = TaskGroup.Test;
    return task;
  };
  return tasks.registerTaskProvider(type, {
    provideTasks: () => [make({ type, task: 'check' }, TaskScope.Workspace)],
    resolveTask: (task) => make(task.definition, task.scope),
  });
}
