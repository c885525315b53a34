/** A process of its own: unpacks the npm package's browser into this process's TMPDIR. */
import chromium from "@sparticuz/chromium";

await chromium.executablePath();
