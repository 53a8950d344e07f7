'use strict';
(function () {
  const LEFT = 30, RIGHT = 352, TOP = 20, FOOT = 166, WIDTH = 360, STEP = 300;
  const numbers = (text) => text.split(' ').map(Number);
  const loaded = new Map();

  function load(reader) {
    let data = loaded.get(reader);
    if (!data) {
      const kept = reader.dataset;
      data = {
        levels: numbers(kept.levels), moves: numbers(kept.moves), points: numbers(kept.points),
        clocks: kept.clocks.split(' ').map((text) => {
          const [from, east, name] = text.split('|');
          return { from: Number(from), east: Number(east), name: name ? ' ' + name : '' };
        }),
        start: Number(kept.start), places: Number(kept.places),
        cursor: reader.querySelector('.cursor'),
        says: reader.parentElement.querySelector('.reading'),
      };
      loaded.set(reader, data);
    }
    return data;
  }

  function clock(reader, data, step) {
    if (step === data.levels.length - 1) { return reader.dataset.ends; }
    const kept = data.clocks.filter((item) => step >= item.from).pop();
    const minutes = Math.floor((data.start + step * STEP) / 60) + kept.east;
    const ofDay = ((minutes % 1440) + 1440) % 1440;
    const two = (number) => String(number).padStart(2, '0');
    return two(Math.floor(ofDay / 60)) + ':' + two(ofDay % 60) + kept.name;
  }

  function reading(reader, data, step) {
    const move = data.moves[step];
    const amount = (Math.abs(move) / 10 ** data.places).toFixed(data.places) + ' ' + reader.dataset.moveUnit;
    const flow = move === 0 ? 'standing' : (move > 0 ? 'going out ' : 'coming in ') + amount;
    const level = 'level ' + (data.levels[step] / 100).toFixed(2) + ' ' + reader.dataset.unit;
    const when = reader.dataset.day + ' ' + clock(reader, data, step);
    return when + ': ' + level + ', ' + flow + ', ' + data.points[step] + ' points this minute';
  }

  function show(reader, wanted) {
    const data = load(reader), last = data.levels.length - 1;
    const step = Math.min(Math.max(wanted, 0), last);
    const x = LEFT + (RIGHT - LEFT) * step / last;
    const words = reading(reader, data, step);
    data.cursor.setAttribute('d', 'M' + x.toFixed(1) + ' ' + TOP + 'V' + FOOT);
    data.says.textContent = words;
    reader.setAttribute('aria-valuenow', step);
    reader.setAttribute('aria-valuetext', words);
  }

  function stepAt(reader, event) {
    const box = reader.getBoundingClientRect();
    const x = (event.clientX - box.left) / box.width * WIDTH;
    return Math.round((x - LEFT) / (RIGHT - LEFT) * Number(reader.getAttribute('aria-valuemax')));
  }

  const KEYS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 12, PageDown: -12 };

  const SLOP = 8;
  let seen = '';

  /* A scroll under a resting pointer is sent as a move to where the pointer already is. */
  function moved(event) {
    const place = event.screenX + ' ' + event.screenY, before = seen;
    seen = place;
    return place !== before;
  }

  function valueOf(reader) { return Number(reader.getAttribute('aria-valuenow')); }

  document.addEventListener('pointermove', (event) => {
    const reader = event.target.closest ? event.target.closest('.reader') : null;
    if (moved(event) && reader && event.pointerType === 'mouse') { show(reader, stepAt(reader, event)); }
  });

  /* A finger reads by a still tap or a sideways drag; a scroll leaves the reading as it was. */
  function touch(reader) {
    let down = null;
    reader.addEventListener('pointerdown', (event) => {
      if (event.pointerType === 'mouse') { show(reader, stepAt(reader, event)); return; }
      down = { id: event.pointerId, x: event.clientX, y: event.clientY, value: valueOf(reader), drags: false };
    });
    reader.addEventListener('pointermove', (event) => {
      if (!down || event.pointerId !== down.id) { return; }
      const across = Math.abs(event.clientX - down.x), along = Math.abs(event.clientY - down.y);
      if (!down.drags && along > SLOP && along >= across) { down = null; return; }
      down.drags = down.drags || across > SLOP;
      if (down.drags) { show(reader, stepAt(reader, event)); }
    });
    reader.addEventListener('pointerup', (event) => {
      if (down && event.pointerId === down.id) { show(reader, stepAt(reader, event)); }
      down = null;
    });
    reader.addEventListener('pointercancel', () => {
      if (down && down.drags) { show(reader, down.value); }
      down = null;
    });
  }

  document.querySelectorAll('.reader').forEach((reader) => {
    touch(reader);
    reader.addEventListener('keydown', (event) => {
      const now = valueOf(reader);
      let wanted;
      if (event.key in KEYS) { wanted = now + KEYS[event.key]; }
      if (event.key === 'Home') { wanted = 0; }
      if (event.key === 'End') { wanted = Number(reader.getAttribute('aria-valuemax')); }
      if (wanted !== undefined) { show(reader, wanted); event.preventDefault(); }
    });
    reader.addEventListener('focus', () => show(reader, valueOf(reader)));
  });

  document.querySelectorAll('.go').forEach((button) => {
    button.addEventListener('click', () => {
      const reader = document.getElementById(button.dataset.chart).querySelector('.reader');
      reader.focus();
      show(reader, Number(button.dataset.step));
    });
  });
})();
