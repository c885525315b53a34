import { english } from "../words/english.ts";
import { briefly, cautionOf, cautions } from "./cautions.ts";
import { escapeHtml as text } from "./escape-html.ts";
import { CARD_PREFACE, endsWords, toolsWords, type WorkCard, workCards } from "./work-cards.ts";

const style = `
body{font:10.5pt/1.35 system-ui,sans-serif;color:#000;background:#fff;max-width:48rem;margin:0 auto;padding:1rem}
h1{font-size:15pt;margin:0 0 .3rem}h2{font-size:12pt;margin:0 0 .2rem}p{margin:.3rem 0}
section{border:1px solid #777;padding:.5rem .8rem;margin:.6rem 0;break-inside:avoid}
ol{margin:.3rem 0;padding-left:1.4rem}li{margin:.2rem 0}.ends{border-top:1px solid #777;padding-top:.2rem}
@page{margin:12mm}
@media print{body{font-size:9.5pt;max-width:none;padding:0}}`;

function card(one: WorkCard, volts: string): string {
  const steps = one.steps.map(({ words, cautions: ids }) => {
    const care =
      ids.length === 0
        ? ""
        : ` <strong>${text(briefly(english.cautions, "any", ids.map(cautionOf)))}</strong>`;
    return `<li>${text(words)}${care}</li>`;
  });
  return `<section><h2>${text(one.title)}</h2>
<p>${text(toolsWords(one))}</p>
<ol>${steps.join("\n")}</ol>
<p class="ends"><strong>Done when:</strong> ${text(endsWords(one, "last point", volts))}</p></section>`;
}

/** Every work card on paper, a card whole on its page, and the cautions in full behind them. */
export function cardSheet(pool: string, volts: string): string {
  const title = `${pool}: work cards`;
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>${text(title)}</title><style>${style}</style></head>
<body><h1>${text(title)}</h1><p>${text(CARD_PREFACE)}</p>
${workCards.map((one) => card(one, volts)).join("\n")}
<section><h2>Cautions in full</h2>${cautions.map(({ words }) => `<p>${text(words)}</p>`).join("\n")}</section>
</body></html>
`;
}
