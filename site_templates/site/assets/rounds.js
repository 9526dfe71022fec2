"use strict";
// The round that is walked now, and which ticks count in it: for the page of a card, for that of all chairs, and for the
// first page. A tick is {on, at}: what was ticked, and when. With {n}, only so many are there; with {had}, all are, and so
// many were when the drawer was looked at. What is kept of a card is {ticked: {row: tick}}; with {round, from}, ticks since
// `from` were taken into the round that began at `round`.

(() => {
  const CLOCKS_DIFFER = 60 * 1000; // a tick later than now was made by a clock that was wrong
  const STILL_WALKING = 30 * 60 * 1000; // ticks made so shortly before now may be kept when a new round begins

  const isObject = (found) => Boolean(found && typeof found === "object" && !Array.isArray(found));
  const isMany = (n) => n === undefined || (Number.isInteger(n) && n >= 0);
  const isTick = (found) => isObject(found) && typeof found.on === "string" && Number.isFinite(found.at) && isMany(found.n) && isMany(found.had);
  const isRecord = (found) => isObject(found) && isObject(found.ticked);

  // `stated`: the minutes after midnight at which rounds begin, as text; none: at midnight.
  function rounds(stated) {
    const minutesOfDay = (stated || "0").split(" ").map(Number);

    // When this round began and when the next one does; a day's rounds go by the clock on the wall.
    function round() {
      const now = new Date();
      const starts = [-1, 0, 1].flatMap((days) => minutesOfDay.map((minutes) =>
        new Date(now.getFullYear(), now.getMonth(), now.getDate() + days, 0, minutes).getTime()));
      return { began: Math.max(...starts.filter((start) => start <= now)), ends: Math.min(...starts.filter((start) => start > now)) };
    }

    function counts(record, tick) {
      const { began } = round();
      const from = record.round === began ? Math.min(began, record.from) : began;
      return tick.at >= from && tick.at <= Date.now() + CLOCKS_DIFFER;
    }

    const tooEarly = (record, tick) => !counts(record, tick) && tick.at >= Date.now() - STILL_WALKING && tick.at < round().began;

    // The record with the ticks just made taken into the round that has begun since.
    const keeping = (record) => ({ ticked: record.ticked, round: round().began, from: Date.now() - STILL_WALKING });

    return { round, counts, tooEarly, keeping };
  }

  // What this device keeps of a card's ticks.
  function recordOf(card) {
    const found = self.kitdocs.recall(`ticks ${card}`);
    return isRecord(found) ? found : { ticked: {} };
  }

  const tickOf = (record, row) => (isTick(record.ticked[row]) ? record.ticked[row] : null);
  const isWhole = (tick) => tick.n === undefined;

  // The record with other ticks in some rows, by row; null for none. `rows` are those of the card, each with what a tick in
  // it is made on now: ticks that were made on anything else are dropped.
  function withTicks(record, rows, others) {
    const ticks = Object.entries(rows).map(([row, on]) => [row, on, row in others ? others[row] : tickOf(record, row)]);
    const ticked = Object.fromEntries(ticks.filter(([, on, tick]) => tick && tick.on === on).map(([row, , tick]) => [row, tick]));
    return { ticked, round: record.round, from: record.from };
  }

  // The tick of a row when all that belongs there is put in, and when that is taken back. `tick` is the one that counts.
  function filled(on, tick) {
    return { on, at: Date.now(), ...tick && !isWhole(tick) && { had: tick.n } };
  }
  function taken(tick) {
    return tick.had === undefined ? null : { on: tick.on, at: Date.now(), n: tick.had };
  }

  // Shared with whoever the device knows, else copied, else selected in `field`; resolves to what became of it.
  async function share(text, field) {
    if (navigator.share) {
      try {
        await navigator.share({ text });
        return "";
      } catch (failure) {
        if (failure.name === "AbortError") return ""; // who was asked did not want to
      }
    }
    field.value = text;
    field.rows = text.split("\n").length;
    field.hidden = false;
    try {
      await navigator.clipboard.writeText(text);
      return "copied";
    } catch { // no clipboard here: the text can be selected
      field.select();
      return "select";
    }
  }

  // The time from the first to the last of some moments, with the day where it is not today or is asked for.
  function time(moments, dated) {
    const [first, last] = [new Date(Math.min(...moments)), new Date(Math.max(...moments))];
    const today = first.toDateString() === new Date().toDateString();
    const options = { timeStyle: "short", ...today && !dated ? {} : { dateStyle: "medium" } };
    return new Intl.DateTimeFormat(document.documentElement.lang, options).formatRange(first, last);
  }

  self.kitdocs = Object.freeze({ ...self.kitdocs, rounds, isRecord, recordOf, tickOf, isWhole, withTicks, filled, taken, share, time });
})();
