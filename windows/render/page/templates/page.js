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
        offsets: kept.offsets.split(' ').map((pair) => pair.split(':').map(Number)),
        start: Number(kept.start), places: Number(kept.places),
        cursor: reader.querySelector('.cursor'),
        says: reader.parentElement.querySelector('.reading'),
      };
      loaded.set(reader, data);
    }
    return data;
  }

  function clock(data, step) {
    let east = 0;
    for (const [from, minutes] of data.offsets) { if (step >= from) { east = minutes; } }
    const minutes = Math.floor((data.start + step * STEP) / 60) + east;
    const ofDay = ((minutes % 1440) + 1440) % 1440;
    if (ofDay === 0 && step === data.levels.length - 1) { return '24:00'; }
    const two = (number) => String(number).padStart(2, '0');
    return two(Math.floor(ofDay / 60)) + ':' + two(ofDay % 60);
  }

  function reading(reader, data, step) {
    const move = data.moves[step];
    const amount = (Math.abs(move) / 10 ** data.places).toFixed(data.places) + ' ' + reader.dataset.moveUnit;
    const flow = move === 0 ? 'standing' : (move > 0 ? 'going out ' : 'coming in ') + amount;
    const level = 'level ' + (data.levels[step] / 100).toFixed(2) + ' ' + reader.dataset.unit;
    return clock(data, step) + ': ' + level + ', ' + flow + ', ' + data.points[step] + ' points';
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

  document.querySelectorAll('.reader').forEach((reader) => {
    const follow = (event) => show(reader, stepAt(reader, event));
    reader.addEventListener('pointerdown', follow);
    reader.addEventListener('pointermove', follow);
    reader.addEventListener('keydown', (event) => {
      const now = Number(reader.getAttribute('aria-valuenow'));
      let wanted;
      if (event.key in KEYS) { wanted = now + KEYS[event.key]; }
      if (event.key === 'Home') { wanted = 0; }
      if (event.key === 'End') { wanted = Number(reader.getAttribute('aria-valuemax')); }
      if (wanted !== undefined) { show(reader, wanted); event.preventDefault(); }
    });
    reader.addEventListener('focus', () => show(reader, Number(reader.getAttribute('aria-valuenow'))));
  });

  document.querySelectorAll('.go').forEach((button) => {
    button.addEventListener('click', () => {
      const reader = document.getElementById(button.dataset.chart).querySelector('.reader');
      reader.focus();
      show(reader, Number(button.dataset.step));
    });
  });
})();
