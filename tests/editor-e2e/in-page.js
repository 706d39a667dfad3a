// Runs inside the page, before the workbench: what the tests must see with the page's own eyes.
(() => {
  const plain = (text) => text.replaceAll('\u00a0', ' ');

  /** The box of a word in the first line on screen that holds a text: lines are cut into coloured pieces. */
  function wordBox(lineText, word) {
    const lines = [...document.querySelectorAll('.monaco-editor .view-line')];
    const line = lines.find((one) => plain(one.textContent).includes(lineText));
    if (!line) return null;
    const walker = document.createTreeWalker(line, NodeFilter.SHOW_TEXT);
    const pieces = [];
    while (walker.nextNode()) pieces.push(walker.currentNode);
    const at = plain(line.textContent).indexOf(word, plain(line.textContent).indexOf(lineText));
    if (at < 0) return null;
    const place = (offset) => {
      let left = offset;
      for (const piece of pieces) {
        if (left <= piece.data.length) return [piece, left];
        left -= piece.data.length;
      }
      return [pieces.at(-1), pieces.at(-1).data.length];
    };
    const range = document.createRange();
    range.setStart(...place(at));
    range.setEnd(...place(at + word.length));
    const { x, y, width, height } = range.getBoundingClientRect();
    return { x, y, width, height };
  }

  /** Which kinds of squiggle lie under the first line on screen that holds a text, seen in one frame. */
  function marksUnder(lineText) {
    const lines = [...document.querySelectorAll('.monaco-editor .view-line')];
    const line = lines.find((one) => plain(one.textContent).includes(lineText))?.getBoundingClientRect();
    if (!line) return [];
    return ['error', 'warning', 'info', 'hint'].filter((kind) =>
      [...document.querySelectorAll(`.monaco-editor .squiggly-${kind}`)].some((mark) => {
        const { top, bottom } = mark.getBoundingClientRect();
        const middle = (top + bottom) / 2;
        return middle >= line.top && middle <= line.bottom;
      }),
    );
  }

  /** The lines on screen of the editor in front, from above to below. */
  function text() {
    const editor = document.querySelector('.editor-group-container.active .monaco-editor[data-uri]');
    const lines = [...(editor?.querySelectorAll('.view-lines .view-line') ?? [])];
    lines.sort((a, b) => a.getBoundingClientRect().top - b.getBoundingClientRect().top);
    return lines.map((line) => plain(line.textContent)).join('\n');
  }

  let watching = false;
  let fewest = 0;

  /** Counts what a selector finds on every frame, until `unwatch` gives the fewest seen. */
  function watch(selector) {
    watching = true;
    fewest = Number.POSITIVE_INFINITY;
    const look = () => {
      fewest = Math.min(fewest, document.querySelectorAll(selector).length);
      if (watching) requestAnimationFrame(look);
    };
    look();
  }

  function unwatch() {
    watching = false;
    return fewest;
  }

  globalThis.buzzoutTest = { wordBox, marksUnder, text, watch, unwatch };
})();
