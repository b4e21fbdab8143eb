// Puts a calculator of Brimwise, or the check of a system, into a page of another site:
//
//   <script src="https://example.org/brimwise/embed.js" async></script>
//   <brimwise-embed calculator="drain" defaults="flow = 2400 L/h; pipe = pvc_40" units="us" look="dark" accent="#1d7186"></brimwise-embed>
//   <brimwise-embed demo="courtyard"></brimwise-embed>   or   code="...", as the app's own links end
//
// It makes a frame as high as what is in it. `sandbox` is handed on to the frame. Nothing else of the page is touched or read.
(() => {
  const home = new URL("./", document.currentScript.src);
  const lowest = 120;
  const highest = 20000;

  class Embed extends HTMLElement {
    static observedAttributes = ["calculator", "code", "demo", "defaults", "units", "look", "accent"];

    connectedCallback() {
      if (!this.frame) {
        this.frame = document.createElement("iframe");
        const { style } = this.frame;
        [this.style.display, style.display, style.width, style.border, style.height] = ["block", "block", "100%", "0", "640px"];
        if (this.hasAttribute("sandbox")) this.frame.setAttribute("sandbox", this.getAttribute("sandbox"));
        this.frame.addEventListener("load", () => this.ask());
        this.heard = (event) => this.hear(event);
      }
      addEventListener("message", this.heard);
      this.to = "";
      this.show();
      if (!this.frame.isConnected) this.append(this.frame);
    }

    disconnectedCallback() {
      removeEventListener("message", this.heard);
    }

    attributeChangedCallback() {
      if (this.frame?.isConnected) this.show();
    }

    show() {
      const query = new URLSearchParams();
      for (const part of (this.getAttribute("defaults") ?? "").split(";")) {
        const at = part.indexOf("=");
        if (at > 0) query.set(part.slice(0, at).trim(), part.slice(at + 1).trim());
      }
      for (const name of ["units", "look", "accent", "code", "demo"]) {
        if (this.hasAttribute(name)) query.set(name, this.getAttribute(name).trim().replace(/^#/, ""));
      }
      const calculator = this.getAttribute("calculator");
      const to = `${home}#/embed/${encodeURIComponent(calculator ?? "system")}?${query}`;
      this.frame.title = this.getAttribute("title") || (calculator ? `Brimwise: ${calculator}` : "Brimwise: a system");
      if (this.to === to) return;
      this.to = to;
      // Once it is there, another address takes the place of the last one: the page around it gets no steps back.
      if (this.frame.isConnected) this.frame.contentWindow.location.replace(to);
      else this.frame.src = to;
    }

    /** A frame whose sandbox gives it no origin of its own. */
    get nowhere() {
      const { sandbox } = this.frame;
      return this.frame.hasAttribute("sandbox") && !sandbox.contains("allow-same-origin");
    }

    ask() {
      this.frame.contentWindow.postMessage({ brimwise: 1, ask: "height" }, this.nowhere ? "*" : home.origin);
    }

    hear({ source, origin, data }) {
      if (source !== this.frame.contentWindow || origin !== (this.nowhere ? "null" : home.origin)) return;
      if (data?.brimwise !== 1 || !Number.isFinite(data.height)) return;
      this.frame.style.height = `${Math.min(Math.max(data.height, lowest), highest)}px`;
    }
  }
  if (!customElements.get("brimwise-embed")) customElements.define("brimwise-embed", Embed);
})();
