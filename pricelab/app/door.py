"""Who is let in: the browser that was given the address, and nobody else on this machine.

The address that the terminal shows has a token in it. The browser that is opened for the
reader gets another, which opens once: every user of a machine may read the command lines on
it, and would find there a token that no longer opens. From then on a cookie of the browser's
own is the key.
"""

import hmac

from jupyter_server.auth.decorator import allow_unauthenticated
from jupyter_server.auth.identity import IdentityProvider, User
from jupyter_server.base.handlers import JupyterHandler
from tornado.web import RequestHandler
from traitlets import Unicode

_TURNED_AWAY = """\
<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>pricelab</title></head>
<body style="font: 18px sans-serif; max-width: 34em; margin: 4em auto">
<h1>This browser has no key yet</h1>
<p>Open the address that the terminal shows, all of it, up to the last letter after
<b>token=</b>. It opens until the program is stopped; a new start has a new address.</p>
</body></html>
"""


class Door(IdentityProvider):
    """Lets in by the token, by the token that opens once, and by the cookie they leave."""

    once = Unicode("", config=True, help="A token that opens once.")

    async def get_user_token(self, handler: RequestHandler) -> User | None:
        """Whoever has a token; the one that opens once is forgotten when it did."""
        given = (self.get_token(handler) or "").encode()
        if self.once and hmac.compare_digest(given, self.once.encode()):
            self.once = ""
        elif not hmac.compare_digest(given, self.token.encode()):
            return None
        return self.get_user_cookie(handler) or self.generate_anonymous_user(handler)

    def get_handlers(self) -> list[tuple[str, object]]:
        """Where the others are sent: there is nothing to log in by."""
        return [("/login", TurnedAway)]


class TurnedAway(JupyterHandler):
    """What a browser without a key is told."""

    @allow_unauthenticated
    def get(self) -> None:
        """How to get in."""
        self.set_status(403)
        self.finish(_TURNED_AWAY)
