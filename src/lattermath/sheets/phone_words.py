"""Every word about phones in the house: the pairing page, the page Phones, the gate."""

from __future__ import annotations

# By status and, where one status has several, by reason: what is wrong, and the remedy.
GATE = {
    (401, ""): (
        "This phone or program is not paired with this plot.",
        "Open /pair with a code from the page Phones of the machine that serves the plot; "
        "a program asks POST /api/pair.",
    ),
    (403, "site"): (
        "Asked for by another site; refused.",
        "Ask from a program, or from a page of this program's own.",
    ),
    (403, "token"): (
        "This change did not come from a page of this program's own; refused.",
        "Open the page anew and press again; a script sends what GET /token answers, as the "
        "header x-lattermath-token.",
    ),
    (403, "far"): (
        "Without a certificate only the network of the house is answered.",
        "Join that network, or serve with --cert and --key.",
    ),
    (404, "calendar"): (
        "There is no such calendar, or not any more.",
        "Make a new address on the page Paper.",
    ),
    (413, ""): ("This is too large to take in.", "Send less at once."),
    (421, ""): (
        "This program answers only to its own address.",
        "Use the address that `lattermath serve` told.",
    ),
    (429, ""): ("Asked too often.", "Wait as long as Retry-After says, in seconds."),
}

PAIR = "Pair this phone"
PAIR_LEAD = (
    "This plot is open to paired phones only. The code stands on the page Phones of the machine "
    "that serves it, and in the window where it was started."
)
CODE = "Code"
CODE_HINT = "Eight digits. It works once, for ten minutes."
NAME = "What this phone is called"
NAME_HINT = "So that you know it when you take its leave away. Empty: Phone."
PAIR_IT = "Pair"
NOT_PAIRED = "Not paired"
ALREADY = "This phone is paired already"
TO_THE_VISIT = "To the visit"

PHONES = "Phones"
PHONES_LEAD = "Who may use this plot from beyond the machine that serves it."
NOT_SERVED = (
    "The plot is open on this machine only. For the phone in the house, end the program and start "
    "it with: lattermath serve --lan"
)
PAIR_A_PHONE = "Pair a phone"
PAIR_HOW = "Point its camera at the square, or open {address} on it and type the code."
CODE_STANDS = "Code {code}, for one phone, until {until}."
NO_CODE = "No code stands. Each is for one phone and lasts ten minutes."
NEW_CODE = "New code"
QR_SAYS = "The address {address} with its code, as a square for a camera"
PLAIN_HTTP = (
    "Without a certificate, whoever shares your network could read along. Pair at home, never on a "
    "network of strangers."
)
PAIRED = "Paired"
CALENDAR_LINE = (
    "{path}\nPut this behind the address that `lattermath serve --lan` tells, into the calendar "
    "program. It is told this once."
)
NONE_PAIRED = "None is paired."
PAIRED_ON = "paired {paired}, last seen {seen}"
KIND_OF = {"phone": "phone", "program": "program", "calendar": "calendar, reads visits only"}
REVOKE = "Take leave away"
REVOKED = "Taken away: {name}. What waits on it can still be handed over as a file."
ONLY_THERE = "Codes and other phones are looked after on the machine that serves the plot."
THIS_PHONE = "This phone is paired as {name}."
UNPAIR = "Unpair this phone"

# On the command line.
OPEN_HERE = "Open http://localhost:{port} in your browser."
OPEN_AT = "Open {address} in your browser."
OPEN_PHONE = "On a phone in this network, open {address}"
CODE_LINE = "and type the code {code}: for one phone, until {until}."
CAMERA_LINE = "Or point its camera here:"
MORE_CODES = "New codes, and who is paired: {address}/phones"
ENDS = "Ctrl C ends it."
PHONE_LINE = "{key}  {name} ({kind}): paired {paired}, last seen {seen}"
REVOKED_LINE = "Taken away: {name}."
NO_ADDRESS = "this machine is in no network that was found"
NO_ADDRESS_REMEDY = "Join one, or name this machine with --name."
NO_LAN = "this is for --lan only"
NO_LAN_REMEDY = "Add --lan, or leave it out."
NO_CERTIFICATE = "this is no certificate with its key"
NO_CERTIFICATE_REMEDY = "Give a PEM file with --cert, and its key without a password with --key."
KEY_ALONE = "a key needs its certificate"
KEY_ALONE_REMEDY = "Give the certificate with --cert."
NO_NAME = "this is no name of a machine"
NO_NAME_REMEDY = "Write it without port or address signs, as in plot.home.example."
NO_QR = "the square for the camera needs the web extra"
NO_QR_REMEDY = "Install it with: pip install 'lattermath[web]'"

# The installed page, and the other ways to have a visit without signal.
APP_DESCRIPTION = "What to do at the plot at each visit, and what was done."
SEND_NOW = "Send now"
KEPT_PAGE = "Home does not answer. This page was kept on this phone on {when}."
WAYS = "Three ways without signal, and which of them you have here"
WAY_INSTALLED = "Installed page."
INSTALLED_HERE = (
    "You have it here. This address is secure, so this browser keeps the visit, the forms and "
    "every page of the contents from the first opening on; put it on the home screen from the "
    "browser's own menu. What you enter waits on the phone and goes home by itself."
)
INSTALLED_NOT_HERE = (
    "Not at this address: browsers keep pages only for HTTPS and for localhost. It takes a "
    "certificate that this phone trusts (lattermath serve --lan --cert FILE --key FILE). What you "
    "enter on a page that is open waits on the phone all the same; but a page once closed needs "
    "the network."
)
INSTALLED_NO_SCRIPT = "Not in this browser, which runs no script."
WAY_PAGE = "Take-away page."
PAGE_HERE = "Everywhere, here too: open it before you leave and leave it open, or save the file."
WAY_PAPER = "Paper."
PAPER_HERE = "Always: print the page Next visit, and type in at home what you ticked."

# Handing over from a page that was opened as a file.
LET_GO = "Clear what is saved but not home"
LET_GO_SURE = (
    "Home has not said that it has these. Once cleared here they are only in the file, or in the "
    "text that you copied; if that is lost, they are gone."
)
LET_GO_YES, LET_GO_NO = "Clear them all the same", "Keep them here"
OPEN_HOME = "Open home's page all the same"
HAND_OVER = "Entries from a page on this phone"
HAND_OVER_LEAD = "Nothing is written until you press."
HAND_OVER_WAITS = "Waiting for the page that holds the entries."
HAND_OVER_NONE = (
    "No page has handed anything over. Open the saved visit on this phone and press Send home "
    "there; or paste the entries, or choose their file."
)
HAND_OVER_SCRIPT = "This page needs a script, and this browser runs none. Choose the file instead."
