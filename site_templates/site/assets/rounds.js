"use strict";
// The round that is walked now, and which ticks count in it: for the page of a card, and for the chairs on the first page.
// A tick is {on, at}: what was ticked, and when. What is kept of a card is {ticked: {row: tick}}; with {round, from}, ticks
// since `from` were taken into the round that began at `round`.

(() => {
  const CLOCKS_DIFFER = 60 * 1000; // a tick later than now was made by a clock that was wrong

  const isObject = (found) => Boolean(found && typeof found === "object" && !Array.isArray(found));
  const isTick = (found) => isObject(found) && typeof found.on === "string" && Number.isFinite(found.at);
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

    return { round, counts };
  }

  // What this device keeps of a card's ticks.
  function recordOf(card) {
    const found = self.kitdocs.recall(`ticks ${card}`);
    return isRecord(found) ? found : { ticked: {} };
  }

  const tickOf = (record, row) => (isTick(record.ticked[row]) ? record.ticked[row] : null);

  // The time from the first to the last of some moments, with the day where it is not today or is asked for.
  function time(moments, dated) {
    const [first, last] = [new Date(Math.min(...moments)), new Date(Math.max(...moments))];
    const today = first.toDateString() === new Date().toDateString();
    const options = { timeStyle: "short", ...today && !dated ? {} : { dateStyle: "medium" } };
    return new Intl.DateTimeFormat(document.documentElement.lang, options).formatRange(first, last);
  }

  self.kitdocs = Object.freeze({ ...self.kitdocs, rounds, isRecord, recordOf, tickOf, time });
})();
