"use strict";
// Ticks at the bench: kept on this device by card and row, each with its time and with what it was made on. They count
// in their round only, which begins anew where the practice says. A row that shows another count or other things in a
// new edition is unticked and named; every other tick stays.

(() => {
  const { say, remember, isRecord, isWhole, filled, taken, keyOf, time } = self.kitdocs;
  const find = (name) => document.querySelector(`[data-${name}]`);
  const card = find("card");
  const { round, counts, tooEarly, keeping } = self.kitdocs.rounds(card.dataset.rounds);
  const boxes = [...document.querySelectorAll("input.tick")];
  const rows = Object.fromEntries(boxes.map((box) => [box.dataset.item, box.dataset.on]));
  const [bar, count, clear] = ["bar", "count", "clear"].map(find);
  const [missing, changed, send, sent, text] = ["missing", "changed", "send", "sent", "text"].map(find);
  const name = `ticks ${card.dataset.card}`;
  let waking = 0;
  let shown = 0; // the beginning of the round that the page shows

  const row = (box) => box.closest(".row");
  const nameOf = (box) => row(box).querySelector(".name").textContent;
  const left = () => boxes.filter((box) => !box.checked);
  const kept = () => self.kitdocs.recordOf(card.dataset.card);
  const tickOf = (found, box) => self.kitdocs.tickOf(found, box.dataset.item);
  const ticksOf = (found) => boxes.map((box) => tickOf(found, box)).filter(Boolean);
  const countingTicks = (found) => ticksOf(found).filter((tick) => counts(found, tick));
  const justBefore = (found) => ticksOf(found).filter((tick) => tooEarly(found, tick));

  function valid(found, box) {
    const tick = tickOf(found, box);
    return tick && tick.on === box.dataset.on && counts(found, tick) ? tick : null;
  }

  function toggle(box) {
    const found = kept();
    const tick = valid(found, box);
    const other = box.checked ? filled(box.dataset.on, tick) : tick && taken(tick);
    remember(name, self.kitdocs.withTicks(found, rows, { [box.dataset.item]: other }));
    restore();
  }

  // How many are in the drawer, where it was looked at and some are missing.
  function tellPart(box, tick) {
    const words = row(box).querySelector(".row-words");
    const shown = words.querySelector(".part") || words.appendChild(self.kitdocs.element("span", { className: "part" }));
    shown.textContent = tick && !isWhole(tick) ? say("so_far", { n: tick.n, all: box.value }) : "";
  }

  function restore() {
    const found = kept();
    const lost = [];
    shown = round().began;
    for (const box of boxes) {
      const tick = tickOf(found, box);
      const now = valid(found, box);
      box.checked = Boolean(now && isWhole(now));
      tellPart(box, now);
      if (tick && !now && counts(found, tick)) lost.push(nameOf(box));
    }
    changed.textContent = lost.length ? say("changed", { rows: lost.join(", ") }) : "";
    tell(found);
    clearTimeout(waking);
    waking = setTimeout(restore, Math.max(1000, round().ends - Date.now()));
  }

  function tell(found) {
    const n = boxes.length - left().length;
    const whole = n === boxes.length;
    const moments = boxes.filter((box) => box.checked).map((box) => tickOf(found, box).at);
    count.textContent = whole ? say("all_back") : say("back", { n, all: boxes.length });
    const when = n ? time(moments, whole) : ticksOf(found).length ? say("round", { time: time([round().began]) }) : "";
    if (when) count.append("\u00a0· ", self.kitdocs.element("span", { className: "when" }, when));
    card.classList.toggle("whole", whole);
    clear.dataset.clear = isRecord(found.before) && countingTicks(found.before).length ? "undo" : justBefore(found).length ? "keep" : "clear";
    clear.textContent = say(clear.dataset.clear);
    clear.disabled = clear.dataset.clear === "clear" && n === 0;
    send.textContent = say("send", { n: left().length });
    send.hidden = whole;
    sent.textContent = "";
    text.hidden = true;
  }

  for (const box of boxes) box.addEventListener("change", () => toggle(box));

  // One tap clears, the next takes it back, also after a reload: a glove may have brushed the glass. Who is walking when
  // a new round begins says whether the ticks just made belong to it.
  clear.addEventListener("click", () => {
    const found = kept();
    const next = {
      undo: () => found.before,
      keep: () => keeping(found),
      clear: () => ({ ticked: {}, before: found }),
    }[clear.dataset.clear]();
    remember(name, next);
    restore();
  });

  send.addEventListener("click", async () => {
    const found = kept();
    const lacking = left().map((box) => {
      const there = valid(found, box);
      return box.value ? say("row", { n: box.value - (there ? there.n : 0), thing: nameOf(box) }) : nameOf(box);
    });
    const became = await self.kitdocs.share([say("missing", { name: missing.dataset.name }), ...lacking].join("\n"), text);
    sent.textContent = became && say(became);
  });

  // The same card open in another window of this device.
  addEventListener("storage", (event) => {
    if (event.key === keyOf(name)) restore();
  });
  // A timer may sleep with the phone.
  document.addEventListener("visibilitychange", () => { if (round().began !== shown) restore(); });
  addEventListener("pageshow", (event) => { if (event.persisted) restore(); });

  bar.hidden = missing.hidden = false;
  restore();
})();
