/** The day and time of the machine that the server runs on. */

/** Local time, `YYYY-MM-DD HH:MM`. */
export function now(): string {
  const time = new Date();
  const two = (value: number) => String(value).padStart(2, '0');
  const day = `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())}`;
  return `${day} ${two(time.getHours())}:${two(time.getMinutes())}`;
}
