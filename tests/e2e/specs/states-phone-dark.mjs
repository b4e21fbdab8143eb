import { states } from "../states.mjs";

export const name = "no violation in any state on a phone, dark: faults, messages, banners, open panels, repairs taken, hostile names, the printed view";

export const run = (ctx) => states(ctx, { size: ctx.phone, dark: true });
