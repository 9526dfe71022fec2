"use strict";
// Ticks at the bench: kept on this device by card and row, each with what it was made on. A row that shows another
// count or other things in a new edition is unticked and named; every other tick stays.

(() => {
  const { say, remember, recall, keyOf, date } = self.kitdocs;
  const find = (name) => document.querySelector(`[data-${name}]`);
  const card = find("card");
  const boxes = [...document.querySelectorAll("input.tick")];
  const [bar, count, clear] = ["bar", "count", "clear"].map(find);
  const [missing, changed, send, sent, text] = ["missing", "changed", "send", "sent", "text"].map(find);
  const name = `ticks ${card.dataset.card}`;

  const row = (box) => box.closest(".row");
  const nameOf = (box) => row(box).querySelector(".name").textContent;
  const left = () => boxes.filter((box) => !box.checked);

  // The same in every language: how many belong there, and by what pictures they are known.
  function basis(box) {
    const pictures = [...row(box).querySelectorAll("img")].map((image) => image.src.split("/").pop());
    return [box.value, ...pictures].join(" ");
  }

  function today() {
    const now = new Date();
    return [now.getFullYear(), now.getMonth() + 1, now.getDate()].join("-");
  }

  const isRound = (found) => Boolean(found && typeof found.day === "string" && found.ticked
    && typeof found.ticked === "object" && !Array.isArray(found.ticked));

  function kept() {
    const found = recall(name);
    return isRound(found) ? found : { day: today(), ticked: {} };
  }

  function save() {
    const ticked = Object.fromEntries(boxes.filter((box) => box.checked).map((box) => [box.dataset.item, basis(box)]));
    remember(name, { day: today(), ticked });
  }

  function restore(found) {
    const lost = [];
    for (const box of boxes) {
      const made = found.ticked[box.dataset.item];
      box.checked = made === basis(box);
      if (made && !box.checked) lost.push(nameOf(box));
    }
    changed.textContent = lost.length ? say("changed", { rows: lost.join(", ") }) : "";
    tell(found);
  }

  function tell(found) {
    const n = boxes.length - left().length;
    const whole = n === boxes.length;
    count.textContent = whole ? say("all_back") : say("back", { n, all: boxes.length });
    if (n && found.day !== today()) {
      const [year, month, day] = found.day.split("-").map(Number);
      count.append(` · ${say("ticked_on", { date: date(new Date(year, month - 1, day), { dateStyle: "medium" }) })}`);
    }
    card.classList.toggle("whole", whole);
    const undo = isRound(found.before);
    clear.textContent = undo ? say("undo") : say("clear");
    clear.disabled = !undo && n === 0;
    send.textContent = say("send", { n: left().length });
    send.hidden = whole;
    sent.textContent = "";
    text.hidden = true;
  }

  for (const box of boxes) {
    box.addEventListener("change", () => {
      save();
      restore(kept());
    });
  }

  // One tap clears, the next takes it back, also after a reload: a glove may have brushed the glass.
  clear.addEventListener("click", () => {
    const found = kept();
    const next = isRound(found.before) ? found.before : { day: today(), ticked: {}, before: found };
    remember(name, next);
    restore(next);
  });

  send.addEventListener("click", async () => {
    const rows = left().map((box) => box.value ? say("row", { n: box.value, thing: nameOf(box) }) : nameOf(box));
    text.value = [say("missing", { name: missing.dataset.name }), ...rows].join("\n");
    if (navigator.share) {
      try {
        await navigator.share({ text: text.value });
        return;
      } catch (failure) {
        if (failure.name === "AbortError") return; // who was asked did not want to
      }
    }
    let copied = false;
    try {
      await navigator.clipboard.writeText(text.value);
      copied = true;
    } catch { /* no clipboard here: the text can be selected */ }
    sent.textContent = say(copied ? "copied" : "select");
    text.rows = rows.length + 1;
    text.hidden = false;
    if (!copied) text.select();
  });

  // The same card open in another window of this device.
  addEventListener("storage", (event) => {
    if (event.key === keyOf(name)) restore(kept());
  });

  bar.hidden = missing.hidden = false;
  restore(kept());
})();
