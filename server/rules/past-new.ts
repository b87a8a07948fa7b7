/** A value outside the range for new parts, inside the wear limit. */
import { acceptedAt, type Severity, writeValue } from '../rebuild/index.ts';
import { judgedValues, relatedReadings } from './out-of-limits.ts';
import { rule } from './rule.ts';
import { missedBy, percent, refOf } from './wording.ts';

/** From this share of the wear allowance on it is a warning. */
const WARNING_SHARE = 0.8;

/** How much a value past the range for new parts matters, by the share of its wear allowance that is used. */
export function severityOfWear(used: number | undefined): Severity {
  return used !== undefined && used >= WARNING_SHARE ? 'warning' : 'information';
}

/** Reports how much of the wear allowance a standing value has used. */
export const pastNew = rule({
  id: 'past-new',
  severity: 'varies',
  worst: 'warning',
  title: 'worn, inside the wear limit',
  subject: 'characteristic',
  *check(characteristic) {
    for (const { instance, judgement, value, at, subject, reading } of judgedValues(characteristic)) {
      if (judgement.verdict !== 'past-new' || acceptedAt(instance, reading?.place) !== undefined) continue;
      const { declaration } = instance;
      const unit = judgement.bound?.unit ?? value.unit;
      const { used } = judgement;
      const share = used === undefined ? '' : `; ${percent(used)} of the wear allowance is used`;
      yield {
        at,
        severity: severityOfWear(used),
        message: `${subject} is ${writeValue(value, judgement, unit)}: ${missedBy(judgement)} for new parts${share}${refOf(declaration)}.`,
        related: [
          { at: declaration.at, message: 'the limit stands here' },
          ...(reading === undefined ? relatedReadings(instance) : []),
        ],
      };
    }
  },
});
