/* What the boxes of a panel owe to whoever does not see or point, and no widget says by itself:
 * a box that was answered is marked as wrong and described by its answer, a choice tells which
 * button is pressed, and the arrow keys step a figure.
 */
(function () {
  "use strict";

  const BOXES = "input:not([type=checkbox]), select, textarea";
  let answers = 0;

  function mark(control) {
    const answer = control.querySelector(".pl-answer");
    if (answer && !answer.id) {
      answers += 1;
      answer.id = `pl-answer-${answers}`;
    }
    for (const box of control.querySelectorAll(BOXES)) {
      if (answer) {
        box.setAttribute("aria-invalid", "true");
        box.setAttribute("aria-describedby", answer.id);
      } else {
        box.removeAttribute("aria-invalid");
        box.removeAttribute("aria-describedby");
      }
    }
    for (const button of control.querySelectorAll(".widget-toggle-button")) {
      button.setAttribute("aria-pressed", button.classList.contains("mod-active"));
    }
    for (const box of control.querySelectorAll(":scope.pl-slide input")) {
      box.inputMode = "decimal";
    }
  }

  /* Adds one step, which the control has in its class, to a figure; leaves alone what is none. */
  function step(box, way) {
    const name = [...box.closest(".pl-slide").classList].find((each) => each.startsWith("pl-by-"));
    const figure = box.value.trim().replace("−", "-").replace(",", ".");
    if (name && /^-?\d+(\.\d+)?$/.test(figure)) {
      const by = Number(name.slice("pl-by-".length));
      box.value = String(Number((Number(figure) + way * by).toFixed(6)));
      box.dispatchEvent(new Event("change", { bubbles: true }));
    }
  }

  new MutationObserver((changes) => {
    const controls = new Set();
    for (const { target, addedNodes } of changes) {
      controls.add(target.closest?.(".pl-control"));
      for (const node of addedNodes) {
        node.querySelectorAll?.(".pl-control").forEach((each) => controls.add(each));
      }
    }
    controls.delete(null);
    controls.delete(undefined);
    controls.forEach(mark);
  }).observe(document, {
    subtree: true,
    childList: true,
    attributes: true,
    attributeFilter: ["class"],
  });

  function arrow(event) {
    const way = { ArrowUp: 1, ArrowDown: -1 }[event.key];
    if (way && event.target.matches?.(".pl-slide input")) {
      event.preventDefault();
      step(event.target, way);
    }
  }
  document.addEventListener("keydown", arrow, true); // a box passes no key on
})();
