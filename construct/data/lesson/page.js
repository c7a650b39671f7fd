"use strict";
// Walks through a lesson: one step shown at a time, its actions one after another.  Holds no words: the page does.
(() => {
  const root = document.documentElement;
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const get = (id) => document.getElementById(id);
  const pages = all("section.page");
  const stops = all("[data-stop]");
  const pageOf = (stop) => stop.closest("section.page");
  let at = 0;

  function show(number, said = true) {
    const before = pageOf(stops[at]);
    at = Math.max(0, Math.min(stops.length - 1, number));
    const stop = stops[at];
    const page = pageOf(stop);
    for (const one of pages) one.classList.toggle("current", one === page);
    for (const one of all(".contents a")) {
      if (one.hash === `#${page.id}`) one.setAttribute("aria-current", "step");
      else one.removeAttribute("aria-current");
    }
    const act = Number(stop.dataset.act || 0);
    for (const one of all("[data-act]", page)) {
      const mine = Number(one.dataset.act);
      one.classList.toggle("now", mine === act);
      one.classList.toggle("later", mine > act && !one.matches("li"));
      if (one.matches("li")) {
        if (mine === act) one.setAttribute("aria-current", "step");
        else one.removeAttribute("aria-current");
      }
    }
    get("progress").textContent = stop.dataset.progress;
    // not `disabled`: a button that is pressed on the way must not lose the keyboard's place
    for (const id of ["back", "step-back"]) get(id).setAttribute("aria-disabled", String(at === 0));
    for (const id of ["next", "step-on"]) get(id).setAttribute("aria-disabled", String(at === stops.length - 1));
    if (!said) return;
    get("live").textContent = stop.dataset.said;
    // a new step from its top on; then as far down as its action needs
    if (page !== before) page.querySelector("h2").scrollIntoView({ block: "start" });
    if (stop.matches("li")) stop.scrollIntoView({ block: "nearest" });
  }

  function wholeStep(way) {
    const page = pages.indexOf(pageOf(stops[at]));
    const first = (one) => stops.findIndex((stop) => pageOf(stop) === pages[one]);
    if (way > 0) show(page + 1 < pages.length ? first(page + 1) : stops.length - 1);
    else show(at > first(page) || page === 0 ? first(page) : first(page - 1));
  }

  get("next").addEventListener("click", () => show(at + 1));
  get("back").addEventListener("click", () => show(at - 1));
  get("step-on").addEventListener("click", () => wholeStep(1));
  get("step-back").addEventListener("click", () => wholeStep(-1));

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.defaultPrevented) return;
    const keys = {
      ArrowRight: () => (event.shiftKey ? wholeStep(1) : show(at + 1)),
      ArrowLeft: () => (event.shiftKey ? wholeStep(-1) : show(at - 1)),
      Home: () => show(0),
      End: () => show(stops.length - 1),
    };
    if (!keys[event.key]) return;
    event.preventDefault();
    keys[event.key]();
  });

  function follow(id, focus) {
    const number = stops.findIndex((stop) => pageOf(stop).id === id);
    if (number < 0) return;
    show(number);
    if (focus) get(id).querySelector("h2").focus();
  }
  for (const link of all(".contents a")) {
    link.addEventListener("click", (event) => {
      event.preventDefault();
      follow(link.hash.slice(1), true);
    });
  }

  get("large").addEventListener("click", () => {
    const on = root.classList.toggle("large");
    get("large").setAttribute("aria-pressed", String(on));
    stops[at].scrollIntoView({ block: "center" });
  });
  const unfold = get("unfold");
  if (unfold) {
    unfold.addEventListener("click", () => {
      const folded = all("details.why").some((one) => !one.open);
      for (const one of all("details.why")) one.open = folded;
      unfold.textContent = folded ? unfold.dataset.fold : unfold.dataset.unfold;
    });
  }

  root.classList.add("walking");
  for (const one of all(".needs-script")) one.hidden = false;
  show(0, false);
  if (location.hash) follow(location.hash.slice(1), false);
})();
