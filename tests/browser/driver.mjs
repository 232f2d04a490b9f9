// A browser by its driver, over the protocol of WebDriver: Chromium and chromium-driver, both of Debian's packages. No package
// of a registry is needed. CHROMIUM and CHROMEDRIVER name the programs where they are not in /usr/bin.

import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";

/** axe-core, which is kept beside with its licence, to be run in a page. */
export const AXE = readFileSync(new URL("axe/axe.min.js", import.meta.url), "utf8");

/** How long a page may take, ms: one that takes longer hangs. */
const PATIENCE = 120_000;

/** The port that a driver says that it listens on. */
function portOf(driver) {
  return new Promise((told, failed) => {
    let said = "";
    driver.stdout.on("data", (text) => {
      said += text;
      const port = said.match(/started successfully on port (\d+)/);
      if (port) told(port[1]);
    });
    driver.once("error", failed);
    driver.once("exit", (code) => failed(new Error(`the driver ended with ${code}: ${said}`)));
  });
}

/** A browser with one page. */
class Browser {
  constructor(session) {
    this.session = session;
  }

  static async begun(port) {
    const options = {
      binary: process.env.CHROMIUM ?? "/usr/bin/chromium",
      args: ["--headless=new", "--no-sandbox", "--disable-quic", "--disable-dev-shm-usage", "--hide-scrollbars"],
    };
    const wanted = {
      browserName: "chrome",
      "goog:chromeOptions": options,
      timeouts: { script: PATIENCE, pageLoad: PATIENCE },
    };
    const all = `http://127.0.0.1:${port}/session`;
    const { sessionId } = await asked("POST", all, { capabilities: { alwaysMatch: wanted } });
    return new Browser(`${all}/${sessionId}`);
  }

  /** Says how wide and high the page is seen, px, and whether light or dark is preferred. */
  async seenAs({ width, height, scheme }) {
    await this.command("Emulation.setDeviceMetricsOverride", { width, height, deviceScaleFactor: 1, mobile: false });
    const features = [{ name: "prefers-color-scheme", value: scheme }];
    await this.command("Emulation.setEmulatedMedia", { features });
  }

  /** Opens an address. */
  open(url) {
    return asked("POST", `${this.session}/url`, { url });
  }

  /** What a function gives in the page, of a promise what it becomes. */
  async told(inPage, ...values) {
    const script = "const done = arguments[arguments.length - 1];"
      + `Promise.resolve((${inPage})(...[...arguments].slice(0, -1)))`
      + ".then((told) => done({ told }), (error) => done({ error: String(error.stack ?? error) }));";
    const { told, error } = await asked("POST", `${this.session}/execute/async`, { script, args: values });
    if (error) throw new Error(error);
    return told;
  }

  /** Runs a script in the page. */
  run(script) {
    return asked("POST", `${this.session}/execute/sync`, { script, args: [] });
  }

  /** What is seen, from the top of the page to its end, as PNG. */
  async picture() {
    const { data } = await this.command("Page.captureScreenshot", { captureBeyondViewport: true });
    return Buffer.from(data, "base64");
  }

  /** The page as it is printed on paper of a size, inches, as PDF. */
  async printed([paperWidth, paperHeight]) {
    const { data } = await this.command("Page.printToPDF", { paperWidth, paperHeight, preferCSSPageSize: false });
    return Buffer.from(data, "base64");
  }

  command(cmd, params) {
    return asked("POST", `${this.session}/goog/cdp/execute`, { cmd, params });
  }

  end() {
    return asked("DELETE", this.session);
  }
}

/** Does work with a browser; whatever becomes of it, the browser and its driver end. */
export async function withBrowser(work) {
  const driver = spawn(process.env.CHROMEDRIVER ?? "/usr/bin/chromedriver", ["--port=0"], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  try {
    const browser = await Browser.begun(await portOf(driver));
    try {
      return await work(browser);
    } finally {
      await browser.end();
    }
  } finally {
    driver.kill();
  }
}

/** What a driver answers. */
async function asked(method, address, body) {
  const answer = await fetch(address, {
    method,
    body: body && JSON.stringify(body),
    headers: { "content-type": "application/json" },
    signal: AbortSignal.timeout(PATIENCE),
  });
  const { value } = await answer.json();
  if (!answer.ok) throw new Error(`${method} ${address}: ${value.error}: ${value.message}`);
  return value;
}
