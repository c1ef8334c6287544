"""What every page must be: usable with any assistive technology, and no wider than the phone."""

from axe_playwright_python.sync_playwright import Axe

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
ALL = {"runOnly": {"type": "tag", "values": RULES}, "resultTypes": ["violations"]}
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast"]}, "resultTypes": ["violations"]}
AXE = Axe()


def violations(page):
    """Returns what axe finds in the light and in the dark, one line for each rule and place."""
    out = []
    for scheme, options in (("light", ALL), ("dark", COLOURS)):
        page.emulate_media(color_scheme=scheme)
        for rule in AXE.run(page, options=options).response["violations"]:
            out += [f"{scheme} {page.url} {rule['id']}: {n['target']} {n['failureSummary']}" for n in rule["nodes"]]
    return out


def too_wide(page):
    """Returns how many pixels the page is wider than the window, with what sticks out."""
    return page.evaluate(
        """() => {
            const wide = document.documentElement.clientWidth;
            if (document.documentElement.scrollWidth <= wide) return [];
            const out = [...document.querySelectorAll('main *, header *, footer *')].filter(e => {
                if (e.getBoundingClientRect().right <= wide + 1) return false;
                for (let up = e.parentElement; up; up = up.parentElement)
                    if (['auto', 'scroll', 'hidden'].includes(getComputedStyle(up).overflowX)) return false;
                return true;
            });
            const told = out.slice(0, 5).map(e => e.outerHTML.slice(0, 160));
            return [document.documentElement.scrollWidth + ' px', ...told];
        }"""
    )
