/** The shapes of `--format json` and `--format ndjson`, as JSON Schemas (2020-12): what a reader may rely on. */

const text = { type: 'string' };
const count = { type: 'integer', minimum: 0 };
/** Counts from 1; columns in UTF-16 units. */
const position = { type: 'integer', minimum: 1 };
const severity = { enum: ['error', 'warning', 'information', 'hint'] };
const state = {
  enum: ['open', 'signed', 'released', null],
  description: 'of a log; null for a table of limits, a register and the configuration',
};

const object = (properties: Readonly<Record<string, object>>, optional: readonly string[] = []) => ({
  type: 'object',
  additionalProperties: false,
  required: Object.keys(properties).filter((name) => !optional.includes(name)),
  properties,
});

const finding = {
  rule: { ...text, description: 'its name; witnessmark explain NAME tells what it means' },
  severity,
  lowered: { ...severity, description: 'what it would be if witnessmark.json did not lower it' },
  message: text,
  line: position,
  column: position,
  endLine: position,
  endColumn: { ...position, description: 'the column after the last' },
  related: {
    type: 'array',
    items: object({ path: text, line: position, column: position, message: text }),
  },
};
const path = { ...text, description: 'from the working directory, with /' };

const dialect = 'https://json-schema.org/draft/2020-12/schema';

/** The whole document of `--format json`. */
export const documentSchema = {
  $schema: dialect,
  title: 'What witnessmark check --format json writes',
  ...object(
    {
      version: { const: 1 },
      files: {
        type: 'array',
        items: object({ path, state, findings: { type: 'array', items: object(finding, ['lowered']) } }),
      },
      unreadable: {
        type: 'array',
        minItems: 1,
        items: object({ path, reason: text }),
        description: 'files that could not be read; not there when all could',
      },
      summary: object({
        files: count,
        errors: count,
        warnings: count,
        information: count,
        hints: count,
      }),
    },
    ['unreadable'],
  ),
};

/** One line of `--format ndjson`. */
export const findingSchema = {
  $schema: dialect,
  title: 'A line of what witnessmark check --format ndjson writes',
  ...object({ path, state, ...finding }, ['lowered']),
};
