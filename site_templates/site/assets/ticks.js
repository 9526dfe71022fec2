"use strict";
// Ticks at the bench: kept on this device by card and row, and only for the edition they were made on.

(() => {
  const { say, remember, recall, keyOf, date } = self.kitdocs;
  const card = document.querySelector("[data-card]");
  const boxes = [...document.querySelectorAll("input.tick")];
  const bar = document.querySelector("[data-bar]");
  const count = bar.querySelector("[data-count]");
  const clear = bar.querySelector("[data-clear]");
  const name = `ticks ${card.dataset.card}`;
  const edition = card.dataset.editions.split(" ").sort().join(" "); // the same in every language
  let undo = null;

  function today() {
    const now = new Date();
    return [now.getFullYear(), now.getMonth() + 1, now.getDate()].join("-");
  }

  function kept() {
    const found = recall(name);
    const usable = found && found.edition === edition && Array.isArray(found.ticked);
    return usable ? found : { edition, day: today(), ticked: [] };
  }

  function save() {
    const ticked = boxes.filter((box) => box.checked).map((box) => box.dataset.item);
    remember(name, { edition, day: today(), ticked });
  }

  function restore(found) {
    for (const box of boxes) box.checked = found.ticked.includes(box.dataset.item);
    tell(found.day);
  }

  function tell(day) {
    const n = boxes.filter((box) => box.checked).length;
    const all = boxes.length;
    const whole = n === all;
    count.textContent = whole ? say("all_back") : say("back", { n, all });
    if (n && day !== today()) {
      const [year, month, dayOfMonth] = day.split("-").map(Number);
      count.append(` · ${say("ticked_on", { date: date(new Date(year, month - 1, dayOfMonth), { dateStyle: "medium" }) })}`);
    }
    card.classList.toggle("whole", whole);
    clear.textContent = undo ? say("undo") : say("clear");
    clear.disabled = !undo && n === 0;
  }

  for (const box of boxes) {
    box.addEventListener("change", () => {
      undo = null;
      save();
      tell(today());
    });
  }

  clear.addEventListener("click", () => {
    const before = undo || { edition, day: today(), ticked: [] };
    undo = undo ? null : kept();
    remember(name, before);
    restore(before);
  });

  // The same card open in another window of this device.
  addEventListener("storage", (event) => {
    if (event.key === keyOf(name)) restore(kept());
  });

  bar.hidden = false;
  restore(kept());
})();
