// While something is in the hand, what moves and what follows lie on panes of their own over the drawing, so that
// the browser need not paint the whole board anew for every place of the pointer.

const FOLLOWS = [["elevation"], ["dims", "halos"]]; // groups that are exchanged during a drag, in the order they are drawn

/** Lift ``groups`` off the drawing ``svg``; what is given back moves them and puts everything back. */
export function lift(svg, groups) {
  const panes = FOLLOWS.map((names) => names.map((name) => svg.querySelector(`#${name}`)).filter(Boolean))
    .filter((found) => found.length).map((found) => pane(svg, found));
  const hand = pane(svg, groups.map(copy));
  groups.forEach((group) => group.classList.add("lifted"));
  const all = [...panes, hand];
  return {
    /** Show what is in the hand dx, dy away from where it was, in the drawing's coordinates. */
    move(dx, dy) {
      all.forEach((each) => each.lieOver());
      const { a, d } = svg.getScreenCTM();
      hand.element.style.transform = `translate(${dx * a}px, ${dy * d}px)`;
    },
    /** Put everything back where it was, as long as the drawing is still there. */
    putBack() {
      groups.forEach((group) => group.classList.remove("lifted"));
      all.forEach((each) => each.clear());
    },
  };
}

function pane(svg, children) {
  const element = svg.cloneNode(false);
  for (const name of ["id", "role", "aria-label", "tabindex"]) element.removeAttribute(name);
  element.setAttribute("aria-hidden", "true");
  element.classList.add("pane");
  const places = children.map((child) => [child.parentNode, child.nextSibling]);
  svg.after(element);
  element.append(...children);
  let shown = "";
  const lieOver = () => {
    const box = svg.getAttribute("viewBox");
    const { left, top, width, height } = svg.getBoundingClientRect();
    const now = [box, left, top, width, height].join(" ");
    if (now === shown) return;
    shown = now;
    element.setAttribute("viewBox", box);
    Object.assign(element.style, { left: `${left}px`, top: `${top}px`, width: `${width}px`, height: `${height}px` });
  };
  lieOver();
  return {
    element,
    lieOver,
    clear() {
      // From the last to the first: each is put before what followed it, which is back by then.
      [...children].reverse().forEach((child, index) => {
        const [parent, next] = places[children.length - 1 - index];
        parent?.insertBefore(child, next);
      });
      element.remove();
    },
  };
}

// The one in the drawing keeps its name, its place in the reading order and the focus.
function copy(group) {
  const made = group.cloneNode(true);
  for (const each of [made, ...made.querySelectorAll("*")]) {
    for (const { name } of [...each.attributes]) {
      if (name === "id" || name === "tabindex" || name === "role" || name.startsWith("data-") || name.startsWith("aria-")) {
        each.removeAttribute(name);
      }
    }
  }
  return made;
}
