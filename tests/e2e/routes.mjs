// The screens, for what looks at every one of them.
export const routes = [
  "#/",
  "#/systems",
  "#/calculator/stocking",
  "#/calculator/feed",
  "#/calculator/oxygen",
  "#/calculator/drain",
  "#/calculator/settling",
  "#/calculator/bed",
  "#/demo/courtyard",
  "#/demo/enlarged",
  "#/demo/trout",
];

/** A route as part of a file's name. */
export const fileName = (route) => route.replace(/[^a-z0-9]+/gi, "-").replace(/^-|-$/g, "") || "home";
