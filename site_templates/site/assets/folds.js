"use strict";
// What is folded: an address opens what it points to, an answer comes to the top when it opens, paper shows all.

(() => {
  const folds = [...document.querySelectorAll("details:is(.fold, .section, .figure)")];

  function showPointedAt() {
    const place = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    const inner = place?.closest("details");
    if (!inner) return;
    for (let fold = inner; fold; fold = fold.parentElement.closest("details")) fold.open = true;
    inner.scrollIntoView();
  }

  // Opened at a tap; the address then says what is open.
  for (const mishap of folds.filter((fold) => fold.matches(".mishap"))) {
    mishap.querySelector("summary").addEventListener("click", () => {
      if (mishap.open) return;
      mishap.addEventListener("toggle", () => {
        history.replaceState(history.state, "", `#${mishap.querySelector("[id]").id}`);
        mishap.scrollIntoView();
      }, { once: true });
    });
  }

  let before = [];
  addEventListener("beforeprint", () => {
    before = folds.map((fold) => fold.open);
    for (const fold of folds) fold.open = true;
  });
  addEventListener("afterprint", () => folds.forEach((fold, n) => { fold.open = before[n]; }));
  addEventListener("hashchange", showPointedAt);
  showPointedAt();
})();
