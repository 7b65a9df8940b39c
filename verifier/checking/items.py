"""What reports call a force that its writer has given no name."""

from verifier.statics.actions import Action

_LIES = {"x": "horizontal", "y": "vertical"}


def in_words(action: Action) -> str:
    """Return a load's label, or an item in words: the vertical force of pin C on deck."""
    if action.label:
        return action.label
    match action.item.split():
        case ["reaction", joint]:
            return f"the reaction at {joint}"
        case ["reaction", joint, "moment"]:
            return f"the fixing moment at {joint}"
        case ["reaction", joint, "x" | "y" as axis]:
            return f"the {_LIES[axis]} reaction at {joint}"
        case ["pin", joint, "x" | "y" as axis, "on", body]:
            return f"the {_LIES[axis]} force of pin {joint} on {body}"
    return action.item
