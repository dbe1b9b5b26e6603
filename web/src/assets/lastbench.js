// What the pages gain from script; without it all of them work. Nothing is stored, but whether the guard is off.
'use strict';
(() => {
  // ---- The scanner ----
  // A handheld scanner is a keyboard: it presses the button, opens the list or sends the form that has the focus. So many
  // signs so quickly one after the other, ended by Enter, are a scan: they go to the scan's page and do nothing here.
  const QUICK = 60; // ms between two signs; nobody types so fast for so long
  const LEAST = 6; // signs
  const LATER = 300; // ms in which a further scan may follow
  const OFF = 'scanner-guard-off';
  const NEXT = 'scanned-next';

  // A browser may keep nothing for a page; then the guard stands and a second scan is not carried over.
  const kept = (store, key) => { try { return window[store].getItem(key); } catch { return null; } };
  const keep = (store, key, value) => { try { window[store].setItem(key, value); } catch { /* nothing is kept */ } };

  const off = () => kept('localStorage', OFF) === 'yes';
  const address = (code) => `${document.body.dataset.fitting || ''}/scan?code=${encodeURIComponent(code)}`;
  const isText = (e) => e.matches('textarea, input:not([type=checkbox]):not([type=radio]):not([type=submit])');
  const isField = (e) => isText(e) || e.tagName === 'SELECT';

  let burst = { code: '', at: 0, field: null, before: '', unsent: new Set() };
  let scans = [];
  let leaving = 0;

  // On the scanner's own page what was sent is shown, not looked up.
  const bench = document.querySelector('[data-scanner]');
  let sent = [];
  let shown = 0;

  const note = (event) => {
    if (event.key === 'Tab' && sent.length >= LEAST) event.preventDefault();
    if (event.key.length > 1 && !['Enter', 'Tab', 'Unidentified'].includes(event.key)) return;
    if (sent.length && event.timeStamp - sent.at(-1).at > 500) sent = [];
    sent.push({ key: event.ctrlKey ? `Ctrl+${event.key}` : event.key, at: event.timeStamp });
    clearTimeout(shown);
    shown = setTimeout(show, 600);
  };

  const show = () => {
    const gaps = sent.slice(1).map((sign, at) => sign.at - sent[at].at);
    const slowest = Math.round(Math.max(0, ...gaps));
    const end = ['Enter', 'Tab'].find((key) => key === sent.at(-1).key);
    const signs = sent.filter((sign) => sign.key.length === 1).length;
    const suits = end === 'Enter' && slowest <= QUICK && signs >= LEAST;
    const lines = [
      `Sent: ${sent.map((sign) => (sign.key.length === 1 ? sign.key : `[${sign.key}]`)).join('')}`,
      `${signs} signs, the slowest after ${slowest} ms, ${end ? `ended by ${end}` : 'ended by nothing'}.`,
      suits ? 'This scanner suits as it is.' : 'This does not look like a scan yet: see below how it should be set.',
    ];
    bench.replaceChildren(...lines.map((words) => Object.assign(document.createElement('p'), { textContent: words })));
    sent = [];
  };

  const begin = (field) => {
    const typed = isField(field);
    burst = { code: '', at: 0, field: typed ? field : null, before: typed ? field.value : '', unsent: new Set(changed) };
  };

  const listen = (event) => {
    if (off() || event.isComposing || event.repeat) return;
    const target = event.target instanceof Element ? event.target : document.body;
    // A box of many lines is where codes are gathered: counting a shelf.
    if (target.tagName === 'TEXTAREA') return;
    if (bench) note(event);
    if (event.timeStamp - burst.at > QUICK) begin(target);
    const inBurst = burst.code.length >= LEAST;
    if (event.key === 'Enter' && inBurst) {
      event.preventDefault();
      event.stopImmediatePropagation();
      scanned();
      return;
    }
    if (event.ctrlKey || event.altKey || event.metaKey) {
      // Control signs in a code would pull the browser's own levers.
      if (inBurst) event.preventDefault();
      return;
    }
    // A space would press the button that has the focus.
    if (event.key === ' ' && burst.code && !isText(target)) event.preventDefault();
    if (event.key.length === 1) burst.code += event.key;
    if (event.key.length === 1 || event.key === 'Shift') burst.at = event.timeStamp;
  };

  const scanned = () => {
    const { code, field, before, unsent: unsentBefore } = burst;
    // What the scanner typed there is taken back, and the form is as it was.
    if (field) field.value = before;
    for (const form of changed) if (!unsentBefore.has(form)) changed.delete(form);
    begin(document.body);
    if (bench) return;
    scans.push(code);
    clearTimeout(leaving);
    leaving = setTimeout(look, LATER);
  };

  const look = () => {
    const [first, ...others] = scans;
    scans = [];
    if (unsent().length) {
      tell(`Scanned: ${first}. A form on this page is not sent yet; nothing of it is lost.`, 'Look it up all the same', address(first));
      return;
    }
    if (others.length) keep('sessionStorage', NEXT, JSON.stringify(others));
    location.assign(address(first));
  };

  // A scan of the same moment as the one that led to this page.
  const next = () => {
    const waiting = JSON.parse(kept('sessionStorage', NEXT) || '[]');
    keep('sessionStorage', NEXT, JSON.stringify(waiting.slice(1)));
    if (!waiting.length) return;
    tell(`Scanned next: ${waiting[0]}.`, 'Look it up', address(waiting[0]));
  };

  const tell = (words, label, href) => {
    const old = document.querySelector('.scanned');
    if (old) old.remove();
    const said = document.createElement('p');
    said.className = 'scanned';
    said.setAttribute('role', 'status');
    const link = document.createElement('a');
    link.className = 'button quiet';
    link.href = href;
    link.textContent = label;
    said.append(words, ' ', link);
    document.querySelector('main').prepend(said);
  };

  // ---- Forms ----
  const changed = new Set();
  const unsent = () => [...changed].filter((form) => form.isConnected);

  document.addEventListener('input', (event) => {
    const form = event.target.form;
    if (form && form.method === 'post') changed.add(form);
  });
  // The second press within a second is the same press.
  document.addEventListener('submit', (event) => {
    const form = event.target;
    const now = Date.now();
    if (now - Number(form.dataset.sent || 0) < 1000) event.preventDefault();
    form.dataset.sent = String(now);
    changed.delete(form);
  });

  // ---- Rest ----
  // A fitting that nobody touches is put out of sight: what was typed stays behind the cover, and on the server.
  const WARNS = 30; // seconds; WCAG 2.2.1 asks for 20 at least
  let touched = Date.now();
  let cover = null;

  const secondsLeft = () => Number(document.body.dataset.restsAfter) - (Date.now() - touched) / 1000;

  const wake = () => {
    touched = Date.now();
    if (cover) cover.remove();
    cover = null;
    document.body.classList.remove('rests');
  };

  const draw = () => {
    cover = document.createElement('dialog');
    cover.className = 'rest';
    cover.setAttribute('aria-labelledby', 'rest-words');
    const words = document.createElement('p');
    words.id = 'rest-words';
    const go = document.createElement('button');
    go.className = 'button';
    go.textContent = 'Go on';
    go.addEventListener('click', wake);
    const desk = document.createElement('a');
    desk.className = 'button quiet';
    desk.href = '/';
    desk.textContent = 'To the desk';
    const close = document.createElement('a');
    close.className = 'button quiet';
    close.href = `${document.body.dataset.fitting}/close`;
    close.textContent = 'Close this fitting';
    const buttons = document.createElement('div');
    buttons.className = 'buttons';
    buttons.append(go, desk, close);
    cover.append(words, buttons);
    cover.addEventListener('cancel', (event) => { event.preventDefault(); wake(); });
    document.body.append(cover);
    cover.showModal();
    go.focus();
  };

  const say = (words) => {
    const place = cover.querySelector('#rest-words');
    if (place.textContent !== words) place.textContent = words;
  };

  const tick = () => {
    const left = secondsLeft();
    if (!(left <= WARNS)) return;
    if (!cover) draw();
    if (left > 0) {
      say('Is somebody there? This fitting is about to be put out of sight. Nothing of it is lost.');
    } else {
      document.body.classList.add('rests');
      say('This fitting rests, out of sight. It is kept until it is closed, at most four hours.');
    }
  };

  // ---- Begin ----
  addEventListener('keydown', listen, true);
  next();
  for (const button of document.querySelectorAll('[data-print]')) {
    button.hidden = false;
    button.addEventListener('click', () => print());
  }
  const guard = document.querySelector('[data-guard]');
  if (guard) {
    const label = () => { guard.textContent = off() ? 'Lead scans to their page again' : 'Leave scans to whatever has the focus'; };
    guard.hidden = false;
    guard.addEventListener('click', () => { keep('localStorage', OFF, off() ? 'no' : 'yes'); label(); });
    label();
  }
  if (document.body.dataset.restsAfter) {
    for (const kind of ['pointerdown', 'keydown', 'input', 'scroll']) {
      addEventListener(kind, () => { if (!cover) touched = Date.now(); }, { passive: true });
    }
    setInterval(tick, 500);
    document.addEventListener('visibilitychange', tick);
  }
})();
