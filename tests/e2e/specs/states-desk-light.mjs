import { states } from "../states.mjs";

export const name = "no violation in any state on a desk, light: faults, messages, banners, open panels, repairs taken, hostile names, the printed view";

export const run = (ctx) => states(ctx, { size: ctx.desk, dark: false });
