/** `witnessmark/due`: what comes due by all logs and registers in the editor's folders, for a view. */

import { dueBody, dueList, dueStyle } from '../documents/index.ts';
import { fileName } from '../rebuild/index.ts';
import { now } from './clock.ts';
import { readLogs } from './logs.ts';
import { dueMethod, type ViewResult } from './methods.ts';
import type { Request } from './session.ts';

export const due: Request = {
  capabilities: () => ({}),
  attach(session) {
    session.connection.onRequest(dueMethod, async (): Promise<ViewResult> => {
      const logs = await readLogs(session);
      const benches = session.workspace
        .paths()
        .filter((path) => path.endsWith('.bench'))
        .map((path) => session.workspace.check(path))
        .filter((bench) => bench !== undefined);
      const list = dueList(
        [...logs, ...benches].map(({ rebuild }) => rebuild),
        { on: now().slice(0, 10) },
      );
      // A log that names no machine is called by its path.
      const paths = new Set(logs.map(({ path }) => path));
      const named = (machine: string) => (paths.has(machine) ? fileName(machine) : machine);
      const items = list.items.map((item) => ({
        ...item,
        path: fileName(item.path),
        machine: item.machine === null ? null : named(item.machine),
      }));
      const machines = list.machines.map((machine) => ({ ...machine, name: named(machine.name) }));
      return { uri: '', body: dueBody({ ...list, machines, items }), style: dueStyle };
    });
  },
};
