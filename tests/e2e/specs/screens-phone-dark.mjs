import { screens } from "../screens.mjs";

export const name = "every screen on a phone, dark, US units: no violation, no sideways scroll";
export const run = (ctx) => screens(ctx, { size: ctx.phone, dark: true, us: true });
