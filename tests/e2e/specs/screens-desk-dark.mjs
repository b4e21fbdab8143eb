import { screens } from "../screens.mjs";

export const name = "every screen on a desk, dark, US units: no violation, no sideways scroll";
export const run = (ctx) => screens(ctx, { size: ctx.desk, dark: true, us: true });
