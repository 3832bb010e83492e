"""What the words of the program mean."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from builds.glossary import BY_KEY, WORDS
from calcs.messages import _


@require_safe
def words_page(request: HttpRequest) -> HttpResponse:
    """Every word in the order of the alphabet, with the words beside it."""
    words = [
        {
            "key": word.key,
            "name": _(word.name),
            "meaning": _(word.meaning),
            "see": [(key, _(BY_KEY[key].name)) for key in word.see],
        }
        for word in WORDS
    ]
    words.sort(key=lambda word: str(word["name"]).casefold())
    return render(request, "shop/words.html", {"words": words, "here": "words"})
