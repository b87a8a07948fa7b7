/** The file that is run as `witnessmark`: starts the commands, as they were compiled if they were. */
import { createRequire, enableCompileCache } from 'node:module';
import { join } from 'node:path';
import { isCompiled, load } from './compiled.ts';

const commands = join(__dirname, 'commands.cjs');
if (isCompiled(commands)) load(commands);
else {
  // What is loaded from here on is kept compiled from one run to the next; NODE_DISABLE_COMPILE_CACHE=1 prevents it.
  enableCompileCache?.();
  createRequire(__filename)(commands);
}
