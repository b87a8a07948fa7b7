/** Property tests draw the same examples each time, so that a run tells of the change at hand; another seed draws others. */
import fc from 'fast-check';

fc.configureGlobal({ seed: Number(process.env.WITNESSMARK_SEED ?? 460) });
