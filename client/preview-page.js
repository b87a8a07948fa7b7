// Runs inside the preview: puts the report in, goes to the cursor's line, and tells which row was chosen.
/* global acquireVsCodeApi */
const editor = acquireVsCodeApi();
const sheet = document.getElementById('sheet');
const style = document.getElementById('style');

window.addEventListener('message', ({ data }) => {
  if (data.kind === 'body') {
    const focused = rowOf(document.activeElement)?.dataset.line;
    style.textContent = data.style;
    sheet.innerHTML = data.body;
    for (const row of sheet.querySelectorAll('[data-line]')) if (row.dataset.line !== '') row.tabIndex = 0;
    if (focused !== undefined)
      sheet.querySelector(`[data-line="${focused}"]`)?.focus({ preventScroll: true });
    editor.setState({ uri: data.uri });
  } else if (data.kind === 'line') goTo(data.line);
});

/** Marks what comes from the line, else from the nearest line before it, and brings it into view. */
function goTo(line) {
  let nearest;
  let nearestLine = 0;
  for (const row of sheet.querySelectorAll('[data-line]')) {
    row.classList.remove('here');
    const own = Number(row.dataset.line);
    if (own > 0 && own <= line && own > nearestLine && row.getClientRects().length > 0) {
      nearest = row;
      nearestLine = own;
    }
  }
  if (nearest === undefined) return;
  if (nearestLine === line)
    for (const row of sheet.querySelectorAll(`[data-line="${line}"]`)) row.classList.add('here');
  const { top, bottom } = nearest.getBoundingClientRect();
  if (!document.hasFocus() && (top < 0 || bottom > window.innerHeight))
    nearest.scrollIntoView({ block: 'center' });
}

function rowOf(element) {
  return element instanceof Element ? element.closest('[data-line]') : null;
}

function choose(event) {
  const row = rowOf(event.target);
  const line = Number(row?.dataset.line);
  if (!(line > 0) || window.getSelection()?.toString() !== '') return;
  event.preventDefault();
  editor.postMessage({ kind: 'line', line });
}

sheet.addEventListener('click', (event) => {
  if (event.target instanceof Element && event.target.closest('a, summary') !== null) return;
  choose(event);
});
sheet.addEventListener('keydown', (event) => {
  if (event.key === 'Enter' && event.target === rowOf(event.target)) choose(event);
});

editor.postMessage({ kind: 'ready' });
