/** What is still due at the release, in one list. */
import { locate } from '../rebuild/index.ts';
import { rule } from './rule.ts';

/** Reports once, at the release, how many requirements are still due and which. */
export const releaseIncomplete = rule({
  id: 'release-incomplete',
  severity: 'error',
  title: 'released with work still due',
  subject: 'release',
  *check({ release, due }) {
    if (due.length === 0) return;
    const many = due.length === 1 ? 'One thing is' : `${due.length} things are`;
    const list = due.slice(0, 5).map((finding) => finding.message.replace(/\.$/, ''));
    const more = due.length > list.length ? `; and ${due.length - list.length} more` : '';
    yield {
      at: locate(release.path, release.block, release.statement.keyword),
      message: `${many} still due at this release: ${list.join('; ')}${more}.`,
      related: due.map((finding) => ({ at: finding.at, message: finding.message })),
    };
  },
});
