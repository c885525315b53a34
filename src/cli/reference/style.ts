/** The look of the reference: one column for reading, tables that scroll on a phone, dark where asked. */
export const referenceStyle = `
:root { color-scheme: light dark; --line: light-dark(#c8cdd2, #444a50);
  --code: light-dark(#f3f5f6, #23272b); --ink: light-dark(#1a1d20, #e6e8ea);
  --quiet: light-dark(#565d64, #a2a9b0); --link: light-dark(#0b5394, #8ec5ff); }
* { box-sizing: border-box; }
body { font: 16px/1.55 system-ui, "DejaVu Sans", sans-serif; color: var(--ink); margin: 0; }
main { max-width: 58rem; margin: 0 auto; padding: 0 1rem 4rem; }
nav { border-bottom: 1px solid var(--line); padding: .6rem 1rem; font-size: .85rem; line-height: 2; }
nav a { margin-right: .8rem; white-space: nowrap; }
a { color: var(--link); text-decoration-thickness: 1px; text-underline-offset: .15em; }
h1 { font-size: 1.6rem; margin: 1.6rem 0 .6rem; }
h2 { font-size: 1.15rem; margin: 0 0 .4rem; } h2 a { color: inherit; text-decoration: none; }
h2 small { font-weight: normal; color: var(--quiet); font-size: .8rem; }
section { border-top: 1px solid var(--line); padding: 1.2rem 0 .4rem; }
:target { outline: 2px solid var(--link); outline-offset: .4rem; }
code, pre { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: .86em; }
pre { background: var(--code); padding: .6rem .8rem; overflow-x: auto; margin: .5rem 0; }
.example { border-left: 3px solid var(--link); }
.names a { margin-right: .7rem; white-space: nowrap; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; font-size: .88rem; margin: .5rem 0; }
th, td { text-align: left; vertical-align: top; padding: .25rem .8rem .25rem 0;
  border-bottom: 1px solid var(--line); }
th { color: var(--quiet); font-weight: normal; }
dl { display: grid; grid-template-columns: 4rem 1fr; gap: .2rem .8rem; font-size: .88rem; margin: .6rem 0; }
dt { color: var(--quiet); } dd { margin: 0; } p { margin: .5rem 0; }
`;
