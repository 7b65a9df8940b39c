"""What a shell needs to complete the commands, their options, and the names they take."""

from argparse import ArgumentParser

from verifier.arguments import build, options_of
from verifier.findings import KINDS
from verifier.reporting.starting import sample_names
from verifier.reporting.words import languages


def completion(shell: str) -> str:
    """Return a completion script for bash, zsh or fish: commands, options, names and files."""
    _, commands = build()
    if shell == "fish":
        return "".join(_fish(name, parser) for name, parser in commands.items())
    cases = "".join(
        f'    {name}) options="{" ".join(options_of(parser))}"'
        f' names="{" ".join(_names(name))}" ;;\n'
        for name, parser in commands.items()
    )
    script = _BASH.format(commands=" ".join(commands), cases=cases, languages=" ".join(languages()))
    return ("autoload -U +X bashcompinit && bashcompinit\n" if shell == "zsh" else "") + script


def _names(command: str) -> tuple[str, ...]:
    """Return the names that a command takes besides files."""
    match command:
        case "sample":
            return sample_names()
        case "faults":
            return tuple(KINDS)
        case "completion":
            return ("bash", "zsh", "fish")
    return ()


def _fish(name: str, parser: ArgumentParser) -> str:
    top = f"complete -c counterpoise -n __fish_use_subcommand -f -a {name}\n"
    within = f"complete -c counterpoise -n '__fish_seen_subcommand_from {name}'"
    names = _names(name)
    taken = f"{within} -f -a '{' '.join(names)}'\n" if names else ""
    return (
        top
        + taken
        + "".join(
            f"{within} -l {option[2:]}\n"
            for option in options_of(parser)
            if option.startswith("--")
        )
    )


_BASH = """\
_counterpoise() {{
  local now="${{COMP_WORDS[COMP_CWORD]}}" before="${{COMP_WORDS[COMP_CWORD-1]}}"
  local words="{commands}" options="" names=""
  if [ "$COMP_CWORD" -gt 1 ]; then
    case "${{COMP_WORDS[1]}}" in
{cases}    esac
    case "$before:$now" in
      --language:*) words="{languages}" ;;
      --side:*) words="left right lower upper" ;;
      *:-*) words="$options" ;;
      *) words="$names" ;;
    esac
  fi
  if [ -z "$words" ]; then COMPREPLY=(); return; fi
  COMPREPLY=($(compgen -W "$words" -- "$now"))
}}
complete -o default -F _counterpoise counterpoise
"""
