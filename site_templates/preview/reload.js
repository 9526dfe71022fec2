"use strict";
// In the preview only: a page that a save has changed loads itself again; a mistake shows, and goes when it is mended.

(() => {
  const MISTAKES = "/preview/mistakes";
  const CAME_FROM = "kitdocs preview came from";
  const [run, number] = document.currentScript.dataset.build.split(".");
  const onMistakes = location.pathname === MISTAKES;
  const here = location.pathname.slice(1).replace(/(^|\/)$/, "$1index.html");

  function cameFrom() {
    return sessionStorage.getItem(CAME_FROM) || "/";
  }

  function concerns(build) {
    if (build.number !== Number(number) + 1) return true; // more than one save ago: who knows
    const used = new Set(performance.getEntriesByType("resource").map(({ name }) => new URL(name).pathname.slice(1)));
    used.delete("editions.json"); // changes with every card; a page that differs by it differs itself
    return build.changed.some((path) => path === here || used.has(path));
  }

  function hear(build) {
    const same = build.run === run && build.number === Number(number);
    if (same) return;
    if (!build.good) {
      if (!onMistakes) sessionStorage.setItem(CAME_FROM, location.href);
      location.replace(MISTAKES);
    } else if (onMistakes) {
      location.replace(cameFrom());
    } else if (build.run !== run || concerns(build)) {
      location.reload();
    }
  }

  for (const link of document.querySelectorAll("[data-back]")) link.href = cameFrom();
  new EventSource("/preview/builds").addEventListener("message", (event) => hear(JSON.parse(event.data)));
})();
