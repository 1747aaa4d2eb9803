/* Runs all cells of a notebook when it is opened, so that its controls are live without a click,
 * and leaves out the bars that stand for hidden code.
 *
 * Only notebooks that say so in their metadata, "pricelab": {"run_on_open": true}, and once for
 * each opening. Written by hand in the form of a module-federation container, which is how
 * JupyterLab takes in extensions; nothing needs to be built.
 */
(function () {
  "use strict";

  const OURS = "pricelab-notebook";
  const BOXES = new URL("boxes.js", document.currentScript.src).href;
  const STYLE = `.${OURS} .jp-CodeCell .jp-InputPlaceholder { display: none; }`;

  let shared; // JupyterLab's own modules, by name and version

  async function lab(name) {
    const versions = Object.values(shared[name] || {});
    if (!versions.length) {
      throw new Error("JupyterLab does not share " + name);
    }
    return (await versions[0].get())();
  }

  /* Resolves once the kernel waits for work: cells sent earlier are dropped silently. */
  function idle(session) {
    return new Promise((resolve) => {
      const look = () => {
        if (session.session?.kernel?.status === "idle") {
          session.statusChanged.disconnect(look);
          resolve();
        }
      };
      session.statusChanged.connect(look);
      look();
    });
  }

  function isCheck(cell) {
    return (cell.model.getMetadata("tags") || []).includes("check");
  }

  async function runOnce(panel, NotebookActions) {
    await panel.context.ready;
    const asked = panel.content.model?.getMetadata("pricelab");
    if (!asked || asked.run_on_open !== true) {
      return;
    }
    panel.addClass(OURS);
    await panel.sessionContext.ready;
    await idle(panel.sessionContext);
    if (panel.isDisposed) {
      return;
    }
    const cell = panel.content.activeCellIndex;
    // Checks are for whoever changes the workbook: the reader does not wait for them.
    const cells = panel.content.widgets.filter((each) => !isCheck(each));
    await NotebookActions.runCells(panel.content, cells, panel.sessionContext);
    if (!panel.isDisposed) {
      panel.content.activeCellIndex = cell; // the reader starts at the top, not at the last cell
      panel.content.node.scrollTop = 0;
      panel.context.model.dirty = false; // nothing that a reader entered
    }
  }

  /* Inside a panel a key is the control's: an arrow moves in its list and not to another cell,
   * and no letter cuts or deletes one.
   */
  function leaveKeysTo(event) {
    if (event.target.closest(".pl-panel")) {
      event.target.setAttribute("data-lm-suppress-shortcuts", "true");
    }
  }

  async function extension() {
    const { INotebookTracker, NotebookActions } = await lab("@jupyterlab/notebook");
    return {
      id: "pricelab-run-on-open:plugin",
      autoStart: true,
      requires: [INotebookTracker],
      activate: (app, tracker) => {
        const style = document.createElement("style");
        style.textContent = STYLE;
        const boxes = document.createElement("script");
        boxes.src = BOXES;
        document.head.append(style, boxes);
        document.addEventListener("focusin", leaveKeysTo);
        const run = (_, panel) => void runOnce(panel, NotebookActions).catch(console.error);
        tracker.forEach((panel) => run(tracker, panel));
        tracker.widgetAdded.connect(run);
      },
    };
  }

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB["pricelab-run-on-open"] = {
    init: (scope) => {
      shared = scope;
    },
    get: async () => {
      const plugin = await extension();
      return () => ({ __esModule: true, default: plugin });
    },
  };
})();
