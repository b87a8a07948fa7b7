/** The sheet that every HTML document is printed on: one file, no script, nothing fetched, light, dark and on paper. */
import { palettes } from '../features/index.ts';

/** Text that may stand in an element or an attribute; control characters that HTML cannot hold are left out. */
export function escapeHtml(text: string): string {
  return text
    .replace(/[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;');
}

/** The language's `..`, `<=` and `>=` as print has them; a number and its unit stay on one line. */
export function signs(text: string): string {
  return text
    .replaceAll('..', ' to ')
    .replace(/([<>])= ?/g, (_, sign: string) => (sign === '<' ? '≤\u00a0' : '≥\u00a0'))
    .replace(/(\d) (?=[\p{L}°Ω%])(?!to )/gu, '$1\u00a0');
}

/** The drawings' own colours, and two that only a sheet needs: thin rules, and the ground of a heading. */
function colours(theme: 'light' | 'dark', rule: string, head: string): string {
  const ink = Object.entries(palettes[theme]).map(([name, value]) => `--wm-${name}:${value}`);
  return [...ink, `--wm-rule:${rule}`, `--wm-head:${head}`].join(';');
}
const light = colours('light', '#d0d5da', '#f3f5f7');
const dark = colours('dark', '#3c444d', '#282c31');

/**
 * Style of a sheet. It works on a page of its own and inside an editor's view, whose body says by its class that the
 * theme is dark. On paper it is always light.
 */
export const sheetStyle = `:root{color-scheme:light dark;${light}}
@media (prefers-color-scheme:dark){:root{${dark}}}
body.vscode-light,body.vscode-high-contrast-light{color-scheme:light;${light}}
body.vscode-dark,body.vscode-high-contrast{color-scheme:dark;${dark}}
*{box-sizing:border-box}
body{margin:0;background:var(--wm-paper);color:var(--wm-ink);font:14px/1.45 system-ui,"Segoe UI","Helvetica Neue",Arial,"DejaVu Sans",sans-serif}
.sheet{max-width:74rem;margin:0 auto;padding:1.5rem 1.5rem 4rem}
h1{font-size:1.55rem;line-height:1.2;margin:0 0 .25rem;font-weight:650}
h2{font-size:1.1rem;margin:2.2rem 0 .6rem;padding-bottom:.25rem;border-bottom:2px solid var(--wm-ink);font-weight:650;break-after:avoid}
h3{font-size:.95rem;margin:1.3rem 0 .4rem;font-weight:650;break-after:avoid}
p{margin:.4rem 0;max-width:70ch}
.soft{color:var(--wm-soft)}
.good{color:var(--wm-good)}.worn{color:var(--wm-worn)}.bad{color:var(--wm-bad)}
table{border-collapse:collapse;width:100%;margin:.4rem 0 1rem;font-variant-numeric:tabular-nums}
caption{text-align:left;font-weight:650;padding:.2rem 0;break-after:avoid}
th,td{text-align:left;vertical-align:top;padding:.28rem .6rem .28rem 0;border-bottom:1px solid var(--wm-rule);overflow-wrap:break-word}
.prose{overflow-wrap:anywhere}
.group-head th{padding-top:.9rem;font-weight:650;font-size:.95rem;border-bottom-color:var(--wm-line);break-after:avoid}
.group-head{break-after:avoid}
.group-head+tr{break-before:avoid}
th:last-child,td:last-child{padding-right:0}
thead th{font-size:.78rem;font-weight:600;color:var(--wm-soft);border-bottom:1.5px solid var(--wm-line);vertical-align:bottom;overflow-wrap:normal}
tbody th{font-weight:550}
th .soft{font-weight:400}
.number{text-align:right;white-space:nowrap}
.fact{white-space:nowrap}
tr,figure,.keep{break-inside:avoid}
thead{display:table-header-group}
figure{margin:.4rem 0}
figcaption{color:var(--wm-soft);font-size:.85rem}
svg{display:block;max-width:100%;height:auto}
pre,.mono{font-family:ui-monospace,"Cascadia Mono","SF Mono",Menlo,Consolas,"DejaVu Sans Mono",monospace;font-size:.88em}
pre{orphans:4;widows:4;white-space:pre-wrap;overflow-wrap:anywhere;border:1px solid var(--wm-line);padding:.8rem 1rem;margin:.5rem 0}
.caution{border-left:4px solid var(--wm-worn);padding:.3rem .8rem;margin:.9rem 0;color:var(--wm-ink);max-width:none}
.plate{display:grid;grid-template-columns:repeat(5,1fr);overflow:hidden;border:1.5px solid var(--wm-line);margin:.9rem 0}
.plate div{padding:.35rem .7rem;border-right:1px solid var(--wm-rule);border-bottom:1px solid var(--wm-rule);margin:0 -1px -1px 0}
.plate dt{font-size:.72rem;color:var(--wm-soft)}
.plate dd{margin:0;font-weight:550;overflow-wrap:anywhere}
@media screen and (max-width:50rem){.plate{grid-template-columns:repeat(2,1fr)}}
footer{margin-top:2.5rem;color:var(--wm-soft);font-size:.82rem;border-top:1px solid var(--wm-rule);padding-top:.5rem}
@page{margin:14mm 13mm 15mm}
@media print{
:root,body,body[class]{color-scheme:light;${light}}
body{font-size:8.8pt}
th,td{padding-right:.45rem}
.sheet{max-width:none;padding:0}
h2{margin-top:1.4rem}
a{color:inherit;text-decoration:none}
body,thead th,tr,td,svg{-webkit-print-color-adjust:exact;print-color-adjust:exact}
}`;

export interface Page {
  readonly title: string;
  /** HTML already. */
  readonly body: string;
  /** Style beyond the sheet's own. */
  readonly style?: string;
}

/** A whole page: it opens from a disk, a mail or a web server alike. */
export function htmlPage({ title, body, style = '' }: Page): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${escapeHtml(title)}</title>
<style>
${sheetStyle}${style === '' ? '' : `\n${style}`}
</style>
</head>
<body>
<main class="sheet">
${body}
</main>
</body>
</html>
`;
}
