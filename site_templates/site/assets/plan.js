"use strict";
// The index of every figure: what is looked for is found, all is opened or folded.

(() => {
  const folds = [...document.querySelectorAll("details.section, details.figure")];
  const figures = folds.filter((fold) => fold.matches(".figure"));
  const sections = folds.filter((fold) => fold.matches(".section"));
  const tools = document.querySelector("[data-folds]");
  const field = tools.querySelector("input");
  const count = tools.querySelector("[data-found]");

  const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  const texts = new Map(figures.map((figure) => [figure, plain(figure.textContent)]));
  const setAll = (open) => { for (const fold of folds) fold.open = open; };

  function find() {
    const words = plain(field.value).split(/\s+/).filter(Boolean);
    let found = 0;
    for (const [figure, text] of texts) {
      figure.hidden = !words.every((word) => text.includes(word));
      found += figure.hidden ? 0 : 1;
    }
    for (const section of sections) {
      section.hidden = !section.querySelector(".figure:not([hidden])");
      section.open = words.length > 0 && !section.hidden;
    }
    count.textContent = words.length
      ? count.dataset.found.replace("{n}", String(found)).replace("{all}", String(figures.length)) : "";
  }

  tools.querySelector("form").addEventListener("submit", (event) => event.preventDefault());
  tools.querySelector("[data-open-all]").addEventListener("click", () => setAll(true));
  tools.querySelector("[data-fold-all]").addEventListener("click", () => setAll(false));
  field.addEventListener("input", find);
  if (field.value) find();
})();
