"use strict";
// The first page: the way to the search.

(() => {
  const form = document.querySelector("[data-find]");

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    location.assign(`${form.dataset.find}#q=${encodeURIComponent(form.querySelector("input").value)}`);
  });
})();
