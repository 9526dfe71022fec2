"use strict";
// The round on one page, in three stages: look how many are in each drawer, fetch what is missing, put it in. Its ticks are
// those of the chairs' own pages. What was fetched is kept the same way: {ticked: {pouch: {on: "", at, n}}}. Every change
// can be undone, one after the other, as long as nothing else has changed the same since.

(() => {
  const { say, remember, recall, element, keyOf, recordOf, tickOf, isWhole, withTicks, filled, taken, time, share } = self.kitdocs;
  const page = document.querySelector("[data-refill]");
  const find = (name) => page.querySelector(`[data-${name}]`);
  const { round, counts, tooEarly, keeping } = self.kitdocs.rounds(page.dataset.rounds);
  const FETCHED = "fetched";
  const STEPS_BACK = 30;
  const CLOCKS_DIFFER = 60 * 1000;
  const HANDED = /^#round=(.+)$/;

  const chairs = [...page.querySelectorAll("[data-chair]")].map((place) => {
    const rows = [...place.querySelectorAll("[data-item]")].map((row) => ({ row, id: row.dataset.item, on: row.dataset.on, all: Number(row.dataset.all) }));
    return { id: place.dataset.chair, name: place.dataset.name, place, rows, on: Object.fromEntries(rows.map(({ id, on }) => [id, on])) };
  });
  const fetched = [...page.querySelectorAll("[data-fetch]")].map((row) => ({ row, id: row.dataset.fetch, box: row.querySelector("input") }));
  const names = [...chairs.map(({ id }) => id), FETCHED]; // of the records
  const onOf = Object.fromEntries([...chairs.map(({ id, on }) => [id, on]), [FETCHED, Object.fromEntries(fetched.map(({ id }) => [id, ""]))]]);
  const keyFor = (name) => `ticks ${name}`;
  let view = null; // {stage, at}: at is the number of the open drawer; none at the end of the way
  let waking = 0;
  let shown = 0; // the beginning of the round that the page shows

  // What is kept -------------------------------------------------------------------------------------------------

  function valid(record, row, on) {
    const tick = tickOf(record, row);
    return tick && tick.on === on && counts(record, tick) ? tick : null;
  }

  // Of every row how many are there, and were when it was looked at; of every kind how many are to be fetched for whom.
  function state() {
    const drawers = chairs.map(({ id, name, rows }) => {
      const record = recordOf(id);
      const known = rows.map((row) => {
        const tick = valid(record, row.id, row.on);
        if (!tick) return { ...row, tick: null };
        const there = isWhole(tick) ? row.all : Math.min(tick.n, row.all);
        const before = isWhole(tick) && tick.had !== undefined ? Math.min(tick.had, row.all) : there;
        return { ...row, tick, there, before };
      });
      const seen = known.filter(({ tick }) => tick);
      return {
        name, known, unseen: known.length - seen.length, whole: known.every(({ tick, there, all }) => tick && there === all),
        lacking: seen.reduce((sum, { all, there }) => sum + all - there, 0),
      };
    });
    const record = recordOf(FETCHED);
    const store = fetched.map((kind) => {
      const tick = valid(record, kind.id, "");
      const wanted = drawers.flatMap(({ name, known }) => known.filter((row) => row.id === kind.id && row.tick && row.before < row.all)
        .map((row) => ({ name, n: row.all - row.before })));
      const need = wanted.reduce((sum, { n }) => sum + n, 0);
      return { ...kind, tick, wanted, need, more: Math.max(0, need - (tick ? tick.n : 0)) };
    });
    return { drawers, store };
  }

  // Every known row and what was fetched, as ticks in the order of the page.
  const told = ({ drawers, store }) => ({ rows: drawers.flatMap(({ known }) => known.map(({ tick }) => tick)), got: store.map(({ tick }) => tick) });

  function change(records) {
    const changed = Object.keys(records);
    const before = Object.fromEntries(changed.map((name) => [name, recall(keyFor(name))]));
    for (const name of changed) remember(keyFor(name), records[name]);
    const after = Object.fromEntries(changed.map((name) => [name, JSON.stringify(recall(keyFor(name)))]));
    remember("round steps", [...steps(), { began: round().began, before, after, view }].slice(-STEPS_BACK));
  }

  function changeRows(name, others) {
    change({ [name]: withTicks(recordOf(name), onOf[name], others) });
  }

  function steps() {
    const found = recall("round steps");
    return Array.isArray(found) ? found : [];
  }

  // The last step, if all that it changed is still as it left it.
  function lastStep() {
    const last = steps().at(-1);
    const same = last && last.began === round().began && last.after && last.before
      && Object.entries(last.after).every(([name, text]) => names.includes(name) && JSON.stringify(recall(keyFor(name))) === text);
    return same ? last : null;
  }

  // Where the round goes on --------------------------------------------------------------------------------------

  function next({ drawers, store }) {
    const unseen = drawers.findIndex((drawer) => drawer.unseen);
    if (unseen >= 0) return { stage: "look", at: unseen };
    const lacking = drawers.findIndex((drawer) => drawer.lacking);
    if (lacking >= 0 && store.some(({ more }) => more)) return { stage: "fetch", at: -1 };
    return { stage: "fill", at: lacking };
  }

  const after = (drawers, at, is) => [...drawers.keys()].map((n) => (at + 1 + n) % drawers.length).find((n) => n !== at && is(drawers[n]));

  function stageView(now, stage) {
    if (stage === "fetch") return { stage, at: -1 };
    const at = now.drawers.findIndex((drawer) => (stage === "look" ? drawer.unseen : drawer.lacking));
    return { stage, at: stage === "look" ? Math.max(0, at) : at };
  }

  // What the large button does, and what it is called.
  function onward(now) {
    const { drawers, store } = now;
    const drawer = drawers[view.at];
    if (view.stage === "look") {
      const rest = drawer.known.filter(({ tick }) => !tick);
      const following = after(drawers, view.at, ({ unseen }) => unseen);
      const lacks = drawers.some(({ lacking }) => lacking);
      const name = rest.length ? (rest.length === drawer.known.length ? "all_full" : "rest_full")
        : following !== undefined ? "to_next" : lacks ? "to_store" : "to_home";
      return { name, go: () => {
        if (rest.length) changeRows(chairs[view.at].id, Object.fromEntries(rest.map(({ id, on }) => [id, filled(on, null)])));
        else if (name === "to_home") leave();
        view = following === undefined ? next(state()) : { stage: "look", at: following };
      } };
    }
    if (view.stage === "fetch") {
      const open = store.filter(({ more }) => more);
      const unseen = drawers.some((one) => one.unseen);
      return { name: open.length ? "got_all" : unseen && !drawers.some(({ lacking }) => lacking) ? "back_to_look" : "to_chairs", go: () => {
        if (open.length) changeRows(FETCHED, Object.fromEntries(open.map(({ id, need }) => [id, { on: "", at: Date.now(), n: need }])));
        view = stageView(state(), drawers.some(({ lacking }) => lacking) ? "fill" : "look");
      } };
    }
    if (!drawer) {
      const unseen = drawers.some((one) => one.unseen);
      return { name: unseen ? "back_to_look" : "to_home", go: () => {
        if (!unseen) leave();
        else view = stageView(now, "look");
      } };
    }
    const open = drawer.known.filter(({ tick, there, all }) => tick && there < all);
    const following = after(drawers, view.at, ({ lacking }) => lacking);
    return { name: open.length ? "all_in" : following === undefined ? "finish" : "to_next", go: () => {
      if (open.length) changeRows(chairs[view.at].id, Object.fromEntries(open.map(({ id, on, tick }) => [id, filled(on, tick)])));
      view = { stage: "fill", at: following === undefined ? -1 : following };
    } };
  }

  const leave = () => location.assign(page.dataset.home);

  function toDo(now) {
    const { drawers, store } = now;
    const drawer = drawers[view.at];
    if (view.stage === "look") {
      if (drawer.unseen) return say("look_now", { chair: drawer.name });
      if (drawers.some(({ unseen }) => unseen)) return say("look_next", { chair: drawer.name });
      if (drawers.some(({ lacking }) => lacking)) return say("look_done");
      return say(drawers.every(({ whole }) => whole) && store.some(({ need }) => need) ? "whole" : "look_full");
    }
    if (view.stage === "fetch") {
      const more = store.reduce((sum, kind) => sum + kind.more, 0);
      if (more) return say("fetch_now", { n: more });
      return say(store.some(({ need }) => need) ? "fetch_have" : "fetch_none");
    }
    if (drawer) return say(drawer.lacking ? "fill_now" : "fill_next", { chair: drawer.name });
    const unseen = drawers.filter((one) => one.unseen).length;
    const lacking = drawers.reduce((sum, one) => sum + one.lacking, 0);
    if (lacking) return say("fill_left", { n: lacking });
    if (unseen) return say("fill_unseen", { n: unseen });
    return `${say("whole")} · ${time(told(now).rows.map(({ at }) => at))}`;
  }

  // The page -----------------------------------------------------------------------------------------------------

  // A row gets its numbers, for how many are there, and its button, for what is put in.
  function furnish(chair, { row, id, on, all }) {
    const thing = row.querySelector(".name").textContent;
    const numbers = Array.from({ length: all + 1 }, (_, n) => {
      const box = element("input", { type: "radio", name: `${chair.id} ${id}`, value: n });
      box.addEventListener("change", () => {
        changeRows(chair.id, { [id]: { on, at: Date.now(), ...n < all && { n } } });
        show();
      });
      return element("label", {}, box, element("span", {}, String(n)));
    });
    const many = element("fieldset", { className: "many" }, element("legend", { className: "vh" }, say("how_many", { thing })), ...numbers);
    const put = element("button", { type: "button", className: "button put" });
    put.addEventListener("click", () => {
      const tick = valid(recordOf(chair.id), id, on);
      if (!tick) return;
      changeRows(chair.id, { [id]: isWhole(tick) ? taken(tick) : filled(on, tick) });
      show();
    });
    row.querySelector(".row-main").append(many, put);
  }

  function showRow({ row, tick, there, before, all }) {
    row.hidden = view.stage === "fill" && !(tick && before < all);
    row.querySelectorAll(".many input").forEach((box, n) => { box.checked = Boolean(tick) && n === there; });
    const put = row.querySelector(".put");
    const isIn = Boolean(tick) && there === all;
    put.textContent = tick ? say(isIn ? "is_in" : "put", { n: all - before }) : "";
    put.setAttribute("aria-pressed", String(isIn));
    put.setAttribute("aria-label", `${put.textContent}: ${row.querySelector(".name").textContent}`);
  }

  function showStore({ row, box, wanted, need, more, tick }) {
    row.hidden = !need;
    box.checked = need > 0 && !more;
    row.querySelector("[data-sum]").textContent = need;
    const main = row.querySelector(".row-main");
    const whose = main.querySelector(".whose") || main.appendChild(element("span", { className: "note whose" }));
    const said = [...tick && more ? [say("more", { n: more })] : [], ...wanted.map(({ name, n }) => say("for_chair", { chair: name.split(" · ")[0], n }))];
    whose.replaceChildren(...said.flatMap((each, at) => [...at ? [" · "] : [], element("span", {}, each)]));
  }

  function show() {
    const now = state();
    const { began, ends } = round();
    if (!view || began !== shown) view = next(now);
    shown = began;
    page.dataset.stage = view.stage;
    for (const [n, drawer] of now.drawers.entries()) {
      const { place } = chairs[n];
      place.open = n === view.at;
      place.hidden = view.stage === "fill" && n !== view.at && !drawer.known.some(({ tick, before, all }) => tick && before < all);
      place.classList.toggle("whole", view.stage === "fill" ? !drawer.lacking && !drawer.unseen : !drawer.unseen);
      const there = drawer.known.filter((row) => row.tick && row.there === row.all).length;
      place.querySelector("[data-so-far]").textContent = drawer.unseen === drawer.known.length ? "" : say("looked", { n: there, all: drawer.known.length });
      drawer.known.forEach(showRow);
    }
    now.store.forEach(showStore);
    find("store").hidden = view.stage !== "fetch";
    find("hands").hidden = view.stage !== "fill" || view.at < 0;
    if (view.at >= 0) chairs[view.at].place.before(find("hands"));
    find("drawers").hidden = view.stage === "fetch";
    find("now").textContent = toDo(now);
    page.classList.toggle("done", view.stage === "fill" && view.at < 0 && now.drawers.every(({ whole }) => whole));
    showStages(now);
    find("next").textContent = say(onward(now).name);
    find("undo").textContent = say("undo");
    find("undo").disabled = !lastStep();
    const left = lacking(now);
    find("left").hidden = !(view.stage === "fill" && left.length);
    find("send").textContent = say("send", { n: left.length });
    find("sent").textContent = "";
    find("text").hidden = true;
    find("keep-way").hidden = !early().length;
    find("keep").textContent = say("keep");
    forgetCode();
    clearTimeout(waking);
    waking = setTimeout(show, Math.max(1000, ends - Date.now()));
  }

  function showStages({ drawers, store }) {
    const far = {
      look: say("looked", { n: drawers.filter(({ unseen }) => !unseen).length, all: drawers.length }),
      fetch: String(store.reduce((sum, { more }) => sum + more, 0)),
      fill: String(drawers.reduce((sum, { lacking }) => sum + lacking, 0)),
    };
    for (const button of page.querySelectorAll("[data-go]")) {
      const here = button.dataset.go === view.stage;
      if (here) button.setAttribute("aria-current", "step"); else button.removeAttribute("aria-current");
      button.querySelector("[data-far]").textContent = far[button.dataset.go];
    }
  }

  const lacking = ({ drawers }) => drawers.flatMap(({ name, known }) => known.filter(({ tick, there, all }) => tick && there < all)
    .map(({ row, there, all }) => `${name}: ${say("row", { n: all - there, thing: row.querySelector(".name").textContent })}`));

  // The names of the records whose ticks were made just before the round began.
  const early = () => names.filter((name) => {
    const record = recordOf(name);
    return Object.keys(onOf[name]).map((row) => tickOf(record, row)).some((tick) => tick && tooEarly(record, tick));
  });

  // After a step of the way the open drawer, or the beginning of the list, is in sight; a drawer has the focus.
  function go() {
    show();
    const open = view.at < 0 ? page : chairs[view.at].place;
    (find("hands").hidden ? open : find("hands")).scrollIntoView({ block: "start" });
    if (view.at >= 0) open.querySelector("summary").focus({ preventScroll: true });
  }

  for (const chair of chairs) {
    for (const row of chair.rows) furnish(chair, row);
    chair.place.querySelector("summary").addEventListener("click", (event) => {
      event.preventDefault(); // one drawer is open at a time
      const at = chairs.indexOf(chair);
      view = { stage: view.stage, at: view.stage === "fill" && view.at === at ? -1 : at };
      show();
    });
  }
  for (const { id, box } of fetched) {
    box.addEventListener("change", () => {
      const { need } = state().store.find((kind) => kind.id === id);
      changeRows(FETCHED, { [id]: box.checked ? { on: "", at: Date.now(), n: need } : null });
      show();
    });
  }
  for (const button of page.querySelectorAll("[data-go]")) {
    button.addEventListener("click", () => { view = stageView(state(), button.dataset.go); go(); });
  }
  find("next").addEventListener("click", () => { onward(state()).go(); go(); });
  find("undo").addEventListener("click", () => {
    const last = lastStep();
    if (!last) return;
    for (const [name, record] of Object.entries(last.before)) remember(keyFor(name), record || { ticked: {} });
    remember("round steps", steps().slice(0, -1));
    if (last.view) view = last.view;
    go();
  });
  find("clean").addEventListener("click", () => {
    change(Object.fromEntries(names.map((name) => [name, { ticked: {} }])));
    view = null;
    go();
  });
  find("keep").addEventListener("click", () => {
    change(Object.fromEntries(early().map((name) => [name, keeping(recordOf(name))])));
    view = null;
    show();
  });
  find("send").addEventListener("click", async () => {
    const became = await share([say("send_title"), ...lacking(state())].join("\n"), find("text"));
    find("sent").textContent = became && say(became);
  });

  // Handing the round over ---------------------------------------------------------------------------------------

  const canBeHanded = /^https?:$/.test(location.protocol);

  function addressNow() {
    const { rows, got } = told(state());
    return `${location.href.split("#")[0]}#round=${self.kitdocs.handed.toText(page.dataset.sameRows, rows, got)}`;
  }

  function tellMade() {
    const { rows } = told(state());
    find("made").textContent = say("made", { time: time([Date.now()]), n: rows.filter(Boolean).length, all: rows.length });
  }

  function draw(rows) {
    const size = rows.length + 8; // four light modules on every side
    find("code").setAttribute("viewBox", `0 0 ${size} ${size}`);
    find("code").lastElementChild.setAttribute("d", rows.flatMap((row, y) => row.map((is, x) => (is ? `M${x + 4} ${y + 4}h1v1h-1z` : ""))).join(""));
  }

  // A code tells of the moment when it was made: it goes when anything changes.
  function forgetCode() {
    find("code").classList.remove("made");
    find("address").hidden = true;
    find("made").textContent = "";
  }

  find("show").addEventListener("click", () => {
    const rows = self.kitdocs.qr(addressNow());
    if (rows) draw(rows);
    find("code").classList.toggle("made", Boolean(rows));
    find("address").hidden = true;
    find("code").scrollIntoView({ block: "center" });
    tellMade();
    if (!rows) find("made").append(` ${say("too_long")}`);
  });
  find("link").addEventListener("click", async () => {
    const became = await share(addressNow(), find("address"));
    tellMade();
    if (became) find("made").append(` ${say(became)}`);
  });

  // What came in the address: {told} says why it is of no use; {ask, ticks} asks before it replaces anything.
  function came() {
    const found = HANDED.exec(location.hash);
    if (!found) return null;
    const many = chairs.reduce((sum, { rows }) => sum + rows.length, 0);
    const read = self.kitdocs.handed.fromText(found[1], page.dataset.sameRows, many, fetched.length);
    if (!read) return { told: say("strange") };
    const { began } = round();
    if (read.sent > Date.now() + CLOCKS_DIFFER) return { told: say("clocks", { time: time([read.sent]) }) };
    if (read.sent < began) return { told: say("over", { time: time([read.sent]), began: time([began]) }) };
    const own = told(state());
    const known = own.rows.filter(Boolean);
    const n = read.rows.filter(Boolean).length;
    const minutes = Math.max(0, Math.round((Date.now() - read.sent) / 60000));
    const has = [...known, ...own.got.filter(Boolean)];
    return { read, ask: [
      say("came", { time: time([read.sent]), minutes, n, all: many }),
      has.length ? say("here_some", { n: known.length, all: many, time: time([Math.max(...has.map(({ at }) => at))]) }) : say("here_none"),
    ].join(" ") };
  }

  function take({ rows, fetched: got }) {
    const { began } = round();
    const inRound = (tick, on) => ({ ...tick, on, at: Math.max(tick.at, began) });
    const records = {};
    let at = 0;
    for (const chair of chairs) {
      const ticked = chair.rows.map((row, n) => [row.id, rows[at + n] && inRound(rows[at + n], row.on)]).filter(([, tick]) => tick);
      records[chair.id] = { ticked: Object.fromEntries(ticked) };
      at += chair.rows.length;
    }
    const ticked = fetched.map(({ id }, n) => [id, got[n] && inRound(got[n], "")]).filter(([, tick]) => tick);
    records[FETCHED] = { ticked: Object.fromEntries(ticked) };
    change(records);
    view = null;
  }

  const forgetAddress = () => history.replaceState(null, "", location.pathname + location.search);

  function showHanded() {
    const found = came();
    find("handed").hidden = !found;
    if (!found) return;
    find("told").textContent = found.told || found.ask;
    find("take").hidden = !found.ask;
    find("take").textContent = say("take");
    find("leave").textContent = say("leave");
    find("handed").scrollIntoView({ block: "nearest" });
  }

  find("take").addEventListener("click", () => {
    const found = came();
    if (found && found.ask) {
      take(found.read);
      forgetAddress();
      go();
    }
    showHanded(); // meanwhile the round may be over
  });
  find("leave").addEventListener("click", () => {
    forgetAddress();
    showHanded();
  });

  // The same round open in another window of this device; a timer that slept with the phone; an address that was changed.
  addEventListener("storage", (event) => { if (names.some((name) => event.key === keyOf(keyFor(name)))) show(); });
  document.addEventListener("visibilitychange", () => { if (round().began !== shown) show(); });
  addEventListener("pageshow", (event) => { if (event.persisted) show(); });
  addEventListener("hashchange", showHanded);

  for (const name of ["stages", "bar", "anew"]) find(name).hidden = false;
  find("hand").hidden = !canBeHanded;
  show();
  showHanded();
})();
