/* What the boxes of a panel owe to whoever does not see or point, and no widget says by itself:
 * a box that was answered is marked as wrong and described by its answer, a choice tells which
 * button is pressed, and the arrow keys step a figure as its slider does.
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

  document.addEventListener("keydown", (event) => {
    const { key, target } = event;
    const box = (key === "ArrowUp" || key === "ArrowDown") && target.closest?.(".pl-slide input");
    if (box) {
      event.preventDefault();
      box.dispatchEvent(new Event("change", { bubbles: true })); // what was typed counts first
      const handle = box.closest(".pl-slide").querySelector(".noUi-handle");
      handle.dispatchEvent(new KeyboardEvent("keydown", { key }));
    }
  });
})();
