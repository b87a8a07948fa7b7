/** Paths as a table: what comes before the last slash heads a row, what comes after it a column. */
export interface Grid {
  readonly rows: readonly string[];
  readonly columns: readonly string[];
}

/**
 * `top/thrust, top/pin, bottom/thrust, bottom/pin` is two rows by two columns. Paths that fill no such table, and
 * those of one segment, are one column with an empty heading.
 */
export function gridOf(paths: readonly string[]): Grid {
  const rows = new Set<string>();
  const columns = new Set<string>();
  for (const path of paths) {
    const slash = path.lastIndexOf('/');
    if (slash < 0) return { rows: paths, columns: [''] };
    rows.add(path.slice(0, slash));
    columns.add(path.slice(slash + 1));
  }
  if (rows.size * columns.size !== paths.length) return { rows: paths, columns: [''] };
  return { rows: [...rows], columns: [...columns] };
}
