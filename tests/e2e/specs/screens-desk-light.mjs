import { screens } from "../screens.mjs";

export const name = "every screen on a desk, light, metric: no violation, no sideways scroll";
export const run = (ctx) => screens(ctx, { size: ctx.desk, dark: false, us: false });
