"""The API's views."""

from rest_framework.authtoken.views import ObtainAuthToken
from rest_framework.parsers import FormParser, JSONParser


class Token(ObtainAuthToken):
    """Gives the token for a user name and a password; send it as `Authorization: Token ...`."""

    authentication_classes = ()
    permission_classes = ()
    parser_classes = (JSONParser, FormParser)
