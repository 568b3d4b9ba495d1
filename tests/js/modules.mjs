// The scripts of the pages are modules that a browser loads as they are; node takes a plain .js file for something else.

import { register } from "node:module";

const load = `export const load = (url, context, next) =>
  next(url, new URL(url).pathname.endsWith(".js") ? { ...context, format: "module" } : context);`;

register(`data:text/javascript,${encodeURIComponent(load)}`);
