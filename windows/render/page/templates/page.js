'use strict';
(function () {
  const LEFT = 34, RIGHT = 352, TOP = 22, BOTTOM = 126, SCORE_TOP = 152, FOOT = 176, WIDTH = 360, STEP = 300;
  const READERS = '.reader,.hours', ROW = 34, LONGEST = 15, LEAST = 0.8;
  const numbers = (text) => text.split(' ').map(Number);
  const words = JSON.parse(document.querySelector('main').dataset.words);

  /* A sentence of the page's words, its parts put in. */
  function said(key, parts) {
    return words[key].replace(/\{(\w+)\}/g, (_, name) => parts[name]);
  }

  const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz012345678', ZERO = 30;

  /* A curve travels as its first value and a letter for each step; larger steps stand in brackets. */
  function curve(text) {
    let sum = 0;
    return (text.match(/\(-?\d+\)|\w/g) || []).map((step) => {
      sum += step[0] === '(' ? Number(step.slice(1, -1)) : LETTERS.indexOf(step) - ZERO;
      return sum;
    });
  }
  const loaded = new Map();

  function load(reader) {
    let data = loaded.get(reader);
    if (!data) {
      const kept = reader.dataset;
      data = {
        levels: curve(kept.levels), moves: curve(kept.moves), points: curve(kept.points),
        clocks: kept.clocks.split(' ').map((text) => {
          const [from, east, name] = text.split('|');
          return { from: Number(from), east: Number(east), name: name ? ' ' + name : '' };
        }),
        start: Number(kept.start), places: Number(kept.places),
        cursor: reader.querySelector('.cursor'),
        says: reader.nextElementSibling,
        days: kept.day.split('|'),
        span: numbers(kept.span || TOP + ' ' + FOOT),
      };
      loaded.set(reader, data);
    }
    return data;
  }

  /* The curves of a day, drawn when it is first opened. */
  function draw(reader) {
    if (!reader.dataset.scale) { return; }
    const data = load(reader), last = data.levels.length - 1;
    const [low, high, most] = numbers(reader.dataset.scale);
    const x = (step) => LEFT + (RIGHT - LEFT) * step / last;
    const y = (step) => BOTTOM - (BOTTOM - TOP) * (data.levels[step] - low) / (high - low);
    const s = (step) => FOOT - (FOOT - SCORE_TOP) * data.points[step] / 100;
    const place = (a, b) => a.toFixed(1) + ' ' + b.toFixed(1);
    const along = (from, to, by, of) => {
      const places = [];
      for (let step = from; step <= to; step += by) { places.push(place(x(step), of(step))); }
      return places.join('L');
    };
    const parts = { level: 'M' + along(0, last, 2, y), fished: '', score: '', outgoing: '', incoming: '' };
    reader.dataset.fished.split(' ').filter(Boolean).forEach((text) => {
      const [from, to] = text.split('-').map(Number);
      parts.fished += 'M' + along(from, to, 1, y);
    });
    for (let step = 0; step <= last; step += 3) {
      const size = most ? LONGEST * data.moves[step] / most : 0;
      if (Math.abs(size) >= LEAST) {
        parts[size > 0 ? 'outgoing' : 'incoming'] += 'M' + place(x(step), y(step)) + 'v' + size.toFixed(1);
      }
    }
    for (let step = 0; step <= last; step += 1) {
      if (data.points[step] > 0) {
        const from = step;
        while (step < last && data.points[step + 1] > 0) { step += 1; }
        const ends = [place(x(from), FOOT), along(from, step, 1, s), place(x(step), FOOT)];
        parts.score += 'M' + ends.join('L') + 'z';
      }
    }
    Object.keys(parts).forEach((name) => {
      const path = reader.querySelector('.' + name);
      if (path) { path.setAttribute('d', parts[name]); }
    });
    delete reader.dataset.scale;
    show(reader, valueOf(reader));
  }

  const clockOf = (data, step) => data.clocks.filter((item) => step >= item.from).pop();
  const minutesOf = (data, step) => Math.floor((data.start + step * STEP) / 60) + clockOf(data, step).east;

  function dayOf(data, step) {
    const after = Math.floor(minutesOf(data, step) / 1440) - Math.floor(minutesOf(data, 0) / 1440);
    return data.days[Math.min(Math.max(after, 0), data.days.length - 1)];
  }

  function clock(reader, data, step) {
    if (step === data.levels.length - 1) { return reader.dataset.ends; }
    const kept = clockOf(data, step), minutes = minutesOf(data, step);
    const ofDay = ((minutes % 1440) + 1440) % 1440;
    const two = (number) => String(number).padStart(2, '0');
    return two(Math.floor(ofDay / 60)) + ':' + two(ofDay % 60) + kept.name;
  }

  function reading(reader, data, step) {
    const move = data.moves[step];
    const amount = (Math.abs(move) / 10 ** data.places).toFixed(data.places) + ' ' + reader.dataset.moveUnit;
    const flow = said(move === 0 ? 'standing' : move > 0 ? 'out' : 'in', { amount });
    const level = (data.levels[step] / 100).toFixed(2) + ' ' + reader.dataset.unit;
    const when = dayOf(data, step) + ' ' + clock(reader, data, step);
    return said('reading', { when, level, flow, points: data.points[step] });
  }

  function show(reader, wanted) {
    const data = load(reader), last = data.levels.length - 1;
    const step = Math.min(Math.max(wanted, 0), last);
    const x = LEFT + (RIGHT - LEFT) * step / last;
    const words = reading(reader, data, step);
    data.cursor.setAttribute('d', 'M' + x.toFixed(1) + ' ' + data.span[0] + 'V' + data.span[1]);
    data.says.textContent = words;
    data.says.hidden = false;
    reader.setAttribute('aria-valuenow', step);
    reader.setAttribute('aria-valuetext', words);
    follow(reader, x);
  }

  /* Large letters make a chart wider than the screen: it moves along with the reading. */
  function follow(reader, x) {
    const wide = reader.scrollWidth, room = reader.clientWidth;
    if (wide <= room + 1) { return; }
    const place = x / WIDTH * wide - reader.scrollLeft;
    if (place < room * 0.15) { reader.scrollLeft += place - room * 0.15; }
    if (place > room * 0.85) { reader.scrollLeft += place - room * 0.85; }
  }

  function stepAt(reader, event) {
    const box = reader.querySelector('svg').getBoundingClientRect();
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
    const reader = event.target.closest ? event.target.closest(READERS) : null;
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

  document.querySelectorAll(READERS).forEach((reader) => {
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

  document.querySelectorAll('details.day').forEach((day) => {
    day.addEventListener('toggle', () => { if (day.open) { day.querySelectorAll('.reader').forEach(draw); } });
  });

  /* Opens the day that holds an element, its charts drawn. */
  function reveal(id) {
    const target = document.getElementById(id), day = target && target.closest('details.day');
    if (!day) { return null; }
    day.open = true;
    day.querySelectorAll('.reader').forEach(draw);
    return target;
  }

  document.addEventListener('click', (event) => {
    const link = event.target.closest ? event.target.closest('a[href^="#"]') : null;
    if (link) { reveal(link.getAttribute('href').slice(1)); }
  });

  document.querySelectorAll('.go').forEach((button) => {
    button.addEventListener('click', () => {
      const reader = reveal(button.dataset.chart).querySelector('.reader');
      reader.focus();
      show(reader, Number(button.dataset.step));
    });
  });

  /* The clock: what is over fades, a line stands at now, the best session counts down. */
  const svgOf = (name, css, attributes) => {
    const item = document.createElementNS('http://www.w3.org/2000/svg', name);
    item.setAttribute('class', css);
    Object.keys(attributes).forEach((key) => item.setAttribute(key, attributes[key]));
    return item;
  };

  function until(seconds) {
    const minutes = Math.ceil(seconds / 60), hours = Math.round(minutes / 60);
    if (minutes < 90) { return said('minutes', { count: minutes }); }
    return hours < 48 ? said('hours', { count: hours }) : said('days', { count: Math.round(hours / 24) });
  }

  function told(starts, ends, now) {
    return ' \u00b7 ' + (now < starts ? until(starts - now) : said(now < ends ? 'now' : 'over', {}));
  }

  function tick() {
    const now = Date.now() / 1000;
    document.querySelectorAll('.until').forEach((item) => {
      item.textContent = told(Number(item.dataset.starts), Number(item.dataset.ends), now);
    });
    document.querySelectorAll('.card,.session').forEach((item) => {
      item.classList.toggle('past', Number(item.dataset.ends) <= now);
    });
    document.querySelectorAll('.age').forEach((item) => {
      const days = Math.floor((now - Number(item.dataset.made)) / 86400);
      item.hidden = days < 1;
      item.textContent = said(days === 1 ? 'age' : 'ages', { count: days });
    });
    document.querySelectorAll('.strip').forEach((strip) => {
      strip.querySelectorAll('.now,.gone').forEach((item) => item.remove());
      strip.dataset.days.split(' ').forEach((text, row) => {
        const [start, end] = text.split('-').map(Number);
        const share = end > start ? Math.min(Math.max((now - start) / (end - start), 0), 1) : 0;
        const x = LEFT + (RIGHT - LEFT) * share;
        if (share > 0) {
          strip.append(svgOf('rect', 'gone', { x: LEFT, y: ROW * row + 1, width: x - LEFT, height: ROW - 2 }));
        }
        if (share > 0 && share < 1) {
          strip.append(svgOf('path', 'now', { d: 'M' + x.toFixed(1) + ' ' + ROW * row + 'v' + ROW }));
        }
      });
    });
  }

  document.querySelectorAll('.strip').forEach((strip) => {
    const links = document.querySelectorAll('nav:not(.rooms) a');
    strip.addEventListener('click', (event) => {
      const box = strip.getBoundingClientRect();
      const row = Math.floor((event.clientY - box.top) / box.width * WIDTH / ROW);
      if (links[row]) { links[row].click(); }
    });
  });
  tick();
  setInterval(tick, 30000);
  if (location.hash) { reveal(location.hash.slice(1)); }
})();
