// A page small enough to be made within a test: elements with attributes and children, found by plain selectors, and a
// document that is told of events. What it has not got, a test of what needs it does in a browser.

const SIMPLE = /^([a-z]*)((?:#[\w-]+|\.[\w-]+|\[[\w-]+(?:="?[^"\]]*"?)?\]|:not\([^)]*\))*)$/i;
const PIECE = /#([\w-]+)|\.([\w-]+)|\[([\w-]+)(?:="?([^"\]]*)"?)?\]|:not\(([^)]*)\)/g;

function isSimple(element, selector) {
  const found = selector.match(SIMPLE);
  if (!found) throw new Error(`no such selector here: ${selector}`);
  if (found[1] && element.tagName !== found[1].toUpperCase()) return false;
  return [...found[2].matchAll(PIECE)].every(([, id, name, attribute, value, not]) => {
    if (id) return element.id === id;
    if (name) return element.classList.contains(name);
    if (not) return !element.matches(not);
    return value === undefined ? element.hasAttribute(attribute) : element.getAttribute(attribute) === value;
  });
}

/** An element, or a piece of text if it has no name. */
export class Element {
  #attributes = new Map();

  constructor(name, attributes = {}, ...children) {
    this.tagName = name.toUpperCase();
    this.parentElement = null;
    this.childNodes = [];
    this.value = attributes.value ?? "";
    this.checked = "checked" in attributes;
    this.scrolled = [];
    for (const [key, value] of Object.entries(attributes)) this.#attributes.set(key, String(value));
    this.append(...children);
    const classes = () => (this.getAttribute("class") ?? "").split(" ").filter(Boolean);
    this.classList = {
      contains: (one) => classes().includes(one),
      add: (one) => this.setAttribute("class", [...new Set([...classes(), one])].join(" ")),
      remove: (one) => this.setAttribute("class", classes().filter((each) => each !== one).join(" ")),
    };
    this.dataset = new Proxy(this, {
      get: (_, key) => this.getAttribute(`data-${key}`) ?? undefined,
      set: (_, key, value) => { this.setAttribute(`data-${key}`, value); return true; },
      deleteProperty: (_, key) => { this.removeAttribute(`data-${key}`); return true; },
    });
  }

  get id() { return this.getAttribute("id") ?? ""; }
  get name() { return this.getAttribute("name") ?? ""; }
  get type() { return this.getAttribute("type") ?? "text"; }
  get defaultValue() { return this.getAttribute("value") ?? ""; }
  get defaultChecked() { return this.hasAttribute("checked"); }
  get form() { return this.closest("form"); }
  get elements() { return this.querySelectorAll("input, select, textarea"); }
  get options() { return this.querySelectorAll("option"); }
  get defaultSelected() { return this.hasAttribute("selected"); }
  get children() { return this.childNodes.filter((node) => node instanceof Element); }
  get firstChild() { return this.childNodes[0] ?? null; }
  get nextSibling() { return this.parentElement?.childNodes[this.parentElement.childNodes.indexOf(this) + 1] ?? null; }
  get isConnected() { return this === document.body || Boolean(this.parentElement?.isConnected); }
  get attributes() { return [...this.#attributes].map(([name, value]) => ({ name, value })); }

  getAttribute(name) { return this.#attributes.get(name) ?? null; }
  hasAttribute(name) { return this.#attributes.has(name); }
  setAttribute(name, value) { this.#attributes.set(name, String(value)); }
  removeAttribute(name) { this.#attributes.delete(name); }

  append(...nodes) { for (const node of nodes) this.insertBefore(node, null); }

  insertBefore(node, next) {
    node.remove();
    const at = next ? this.childNodes.indexOf(next) : this.childNodes.length;
    this.childNodes.splice(at, 0, node);
    node.parentElement = this;
  }

  removeChild(node) {
    node.remove();
    return node;
  }

  remove() {
    const among = this.parentElement?.childNodes;
    among?.splice(among.indexOf(this), 1);
    this.parentElement = null;
  }

  replaceWith(node) {
    this.parentElement.insertBefore(node, this);
    this.remove();
  }

  contains(other) { return this === other || this.children.some((child) => child.contains(other)); }

  matches(selectors) {
    return selectors.split(/,\s*/).some((selector) => {
      const [last, ...outer] = selector.trim().split(/\s+/).reverse();
      if (!isSimple(this, last)) return false;
      let at = this.parentElement;
      return outer.every((each) => {
        while (at && !isSimple(at, each)) at = at.parentElement;
        return Boolean(at);
      });
    });
  }

  closest(selector) { return this.matches(selector) ? this : this.parentElement?.closest(selector) ?? null; }
  querySelectorAll(selector) {
    return this.children.flatMap((child) => [...(child.matches(selector) ? [child] : []), ...child.querySelectorAll(selector)]);
  }
  querySelector(selector) { return this.querySelectorAll(selector)[0] ?? null; }

  focus() {
    document.activeElement = this;
    tell("focusin", { target: this });
  }
}

/** An element, as short as it can be written. */
export const el = (name, attributes, ...children) => new Element(name, attributes, ...children);

/** Tell the document of something; what was said comes back, with whether its usual effect was prevented. */
export function tell(kind, more = {}) {
  const event = new Event(kind, { cancelable: true });
  for (const [key, value] of Object.entries(more)) Object.defineProperty(event, key, { value });
  document.dispatchEvent(event);
  return event;
}

/** Make a page with these in its body. */
export function show(...children) {
  const { body } = document;
  for (const child of [...body.childNodes]) child.remove();
  body.append(...children);
  document.activeElement = body;
}

/** Once everything that can go on without a clock has gone on. */
export const soon = () => new Promise((go) => { setImmediate(() => setImmediate(go)); });

class FormOf {
  #values;
  constructor(form) { this.#values = (form?.elements ?? []).filter((each) => each.name).map((each) => [each.name, each.value]); }
  get(name) { return this.#values.find(([each]) => each === name)?.[1] ?? null; }
  [Symbol.iterator]() { return this.#values[Symbol.iterator](); }
}

globalThis.window = new EventTarget();
globalThis.document = Object.assign(new EventTarget(), {
  getElementById: (id) => document.body.querySelector(`#${id}`),
  querySelector: (selector) => document.body.querySelector(selector),
  querySelectorAll: (selector) => document.body.querySelectorAll(selector),
  createElement: (name) => Object.assign(el(name), { content: { children: [] } }),
  activeElement: null,
});
document.body = el("body");
document.activeElement = document.body;
globalThis.CSS = { escape: (words) => words };
globalThis.FormData = FormOf;
globalThis.requestAnimationFrame = (go) => setImmediate(go);
window.htmx = { defineExtension() {}, ajax: async () => {} };
