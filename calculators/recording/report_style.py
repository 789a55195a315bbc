"""The style sheet of a report: light and dark by the reader's device, black on white on paper."""

from calculators.recording.svg import DARK

_DARK = "; ".join(f"{name}: {colour}" for name, colour in DARK.items())

STYLE = f"""
:root {{ color-scheme: light; --paper: #fbfbf7; --sheet: #ffffff; --ink: #12272e;
  --ink-2: #4a5f66; --rule: #cfd9d6; --rule-2: #e6ece9; --deep: #0c4f5c; --brass-2: #ecd9b4;
  --good: #1d6844; --care: #8a5d10; --fail: #a3261d; }}
@media (prefers-color-scheme: dark) {{
  :root {{ color-scheme: dark; --paper: #0e1b20; --good: #7bd3a2; {_DARK}; }}
}}
body {{ max-width: 1000px; margin: 0 auto; padding: 16px; background: var(--paper);
  color: var(--ink); font: 16px/1.5 system-ui, sans-serif; }}
h1 {{ margin: 8px 0 16px; font-size: 1.6rem; line-height: 1.2; }}
h2 {{ margin: 32px 0 8px; font-size: 1.25rem; break-after: avoid; }}
h3 {{ margin: 0 0 4px; font-size: 1.05rem; }}
p {{ margin: 4px 0; }}
a {{ color: var(--deep); }}
.verdict {{ padding: 12px 16px; border: 1px solid var(--rule); border-left: 8px solid var(--good);
  background: var(--sheet); }}
.verdict.care {{ border-left-color: var(--care); }}
.verdict.fail {{ border-left-color: var(--fail); }}
.verdict strong {{ font-size: 1.15rem; line-height: 1.35; }}
.findings {{ margin: 0; padding: 0; list-style: none; }}
.findings > li {{ margin: 0 0 12px; padding: 8px 12px; border-left: 4px solid var(--ink-2);
  background: var(--sheet); break-inside: avoid; }}
.findings .spoils {{ border-left-color: var(--fail); }}
.findings .harms {{ border-left-color: var(--care); }}
.kind {{ display: inline-block; color: var(--ink-2); font-size: 0.875rem; font-weight: 400; }}
.about {{ display: grid; grid-template-columns: 1fr 1fr 1fr; gap: 0 20px; margin: 6px 0; }}
.about h4 {{ margin: 0; color: var(--ink-2); font-size: 0.875rem; font-weight: 400; }}
.about ul {{ margin: 0; padding: 0; font-size: 0.9375rem; line-height: 1.4; list-style: none; }}
.about li {{ margin: 2px 0; padding: 0; border: 0; background: none;
  overflow-wrap: anywhere; }}
figure {{ margin: 0 0 16px; break-inside: avoid; }}
figure svg {{ display: block; width: 100%; height: auto; }}
.narrow {{ display: none; }}
.scroll {{ overflow-x: auto; }}
table {{ border-collapse: collapse; background: var(--sheet); }}
th, td {{ padding: 4px 12px; border-bottom: 1px solid var(--rule-2); text-align: left;
  vertical-align: top; font-weight: 400; font-variant-numeric: tabular-nums; }}
thead th {{ border-bottom-color: var(--ink-2); font-weight: 650; }}
.stacks [role="rowheader"] {{ min-width: 7rem; }}
li {{ margin: 2px 0; }}
.foot {{ margin-top: 32px; color: var(--ink-2); font-size: 0.875rem; }}
@media screen and (max-width: 719px) {{
  .stacks, .stacks :is(tbody, tr, th, td) {{ display: block; }}
  .stacks thead {{ position: absolute; clip-path: inset(50%); width: 1px; height: 1px;
    overflow: hidden; }}
  .stacks tr {{ padding: 8px 0; border-bottom: 1px solid var(--rule); }}
  .stacks :is(th, td) {{ padding: 1px 8px; border: 0; overflow-wrap: anywhere; }}
  .stacks [role="rowheader"] {{ font-weight: 650; }}
  .stacks td[data-column] {{ display: flow-root; padding-left: 140px; }}
  .stacks td[data-column]::before {{ content: attr(data-column); float: left; width: 128px;
    margin-left: -132px; color: var(--ink-2); font-size: 0.875rem; }}
}}
@media (max-width: 719px) {{
  .wide {{ display: none; }}
  .narrow {{ display: block; }}
  .about {{ display: block; }}
  .about h4 {{ margin-top: 8px; }}
  th, td {{ padding: 4px 8px 4px 0; }}
}}
@media print {{
  @page {{ size: A4; margin: 14mm 12mm; }}
  :root {{ color-scheme: light; --paper: #fff; --sheet: #fff; --ink: #000; --ink-2: #333;
    --rule: #888; --rule-2: #bbb; --deep: #000; --brass-2: #ddd; --good: #000; --care: #000;
    --fail: #000; }}
  body {{ max-width: none; padding: 0; font-size: 10pt; }}
  .wide {{ display: block; }}
  .narrow {{ display: none; }}
  .about {{ display: grid; }}
  .scroll {{ overflow: visible; }}
  th, td {{ padding: 1px 8px 1px 0; font-size: 8.5pt; }}
}}
"""
