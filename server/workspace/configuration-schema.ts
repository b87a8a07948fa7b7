/** The shape of `witnessmark.json`, as a JSON schema: the editor completes by it, and its reader checks by it. */
import { allowedSeverities, type Rule, severities } from '../rules/index.ts';

/**
 * The schema. With the list of rules it names each with its severities, which is what an editor wants; without it
 * any name will do, since the reader has better words for a rule that does not exist.
 */
export function configurationSchema(
  rules?: readonly Pick<Rule, 'id' | 'title' | 'severity' | 'subject' | 'worst'>[],
) {
  return {
    $schema: 'http://json-schema.org/draft-07/schema#',
    title: 'Witnessmark',
    description: 'How the logs of this repository are checked.',
    type: 'object',
    additionalProperties: false,
    properties: {
      $schema: { type: 'string', description: 'The schema of this file.' },
      severities: {
        type: 'object',
        description:
          'Severities by rule. What may be an error can be lowered to information but not switched off; what could not be read stays an error.',
        ...(rules === undefined
          ? { additionalProperties: { enum: [...severities, 'off'] } }
          : {
              additionalProperties: false,
              properties: Object.fromEntries(
                rules.map((rule) => [
                  rule.id,
                  { description: `${rule.title} (${rule.severity})`, enum: allowedSeverities(rule) },
                ]),
              ),
            }),
      },
      units: {
        enum: ['metric', 'imperial'],
        description:
          'The system of units that the team reads in: what a log or a table has in the other is shown in this one too, and trends are in it. Nothing recorded is changed.',
      },
      exclude: {
        type: 'array',
        items: { type: 'string' },
        description: 'Folders and files to leave out, written as in a .gitignore beside this file.',
      },
      guard: {
        type: 'number',
        minimum: 0,
        maximum: 4,
        default: 1.65,
        description:
          'How many standard uncertainties a reading must lie inside a limit to be sure of it: 1.65 for 95 %.',
      },
    },
  };
}
