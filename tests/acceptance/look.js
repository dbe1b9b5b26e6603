// What axe does not measure: the size of what a finger hits, the width of the page, the size of what is typed in.
// Returns a list of sentences; none is a page without a fault.
const faults = [];
const page = document.documentElement;
if (page.scrollWidth > page.clientWidth) {
  faults.push(`the page is ${page.scrollWidth - page.clientWidth} px wider than the window`);
}
const named = (e) => `<${e.tagName.toLowerCase()} class="${e.className}"> ${(e.textContent || e.name || '').trim().slice(0, 40)}`;
const shown = (e) => {
  const box = e.getBoundingClientRect();
  return box.width > 1 && box.height > 1 && !e.closest('.sr, .skip');
};
// WCAG 2.5.8 leaves out links in a run of text and asks 24 px of the others, which axe holds them to; a button, a field,
// a word of the way and whatever else works like a button has 44 px each way.
const inText = (e) => e.tagName === 'A' && !e.closest('nav, .buttons, .do') && !e.classList.length;
for (const e of document.querySelectorAll('a[href], button, select, summary, textarea, input:not([type=hidden])')) {
  if (!shown(e) || inText(e)) continue;
  const ticks = e.type === 'radio' || e.type === 'checkbox';
  const box = ((ticks && e.closest('label')) || e).getBoundingClientRect();
  if (box.width < 43.5 || box.height < 43.5) {
    faults.push(`${Math.round(box.width)} x ${Math.round(box.height)} px: ${named(e)}`);
  }
}
for (const e of document.querySelectorAll('input:not([type=hidden]), select, textarea')) {
  const isTyped = e.type !== 'radio' && e.type !== 'checkbox';
  if (shown(e) && isTyped && parseFloat(getComputedStyle(e).fontSize) < 16) faults.push(`typed smaller than 16 px: ${named(e)}`);
}
for (const e of document.querySelectorAll('select[multiple], input[type=number]')) faults.push(`not to be used: ${named(e)}`);
for (const e of document.querySelectorAll('input:not([type=hidden]), select, textarea')) {
  const isLabelled = e.labels.length || e.hasAttribute('aria-label') || e.hasAttribute('aria-labelledby');
  if (!isLabelled) faults.push(`named by its placeholder or title at most: ${named(e)}`);
}
for (const e of document.querySelectorAll('svg')) {
  const isNamed = e.getAttribute('role') === 'img' && (e.hasAttribute('aria-label') || e.querySelector('title'));
  if (!isNamed && e.getAttribute('aria-hidden') !== 'true') faults.push(`a drawing without a name: ${e.outerHTML.slice(0, 80)}`);
}
return faults;
