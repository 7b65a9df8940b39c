"""What a shell needs to complete the commands and their options."""

from argparse import ArgumentParser

from verifier.arguments import build, options_of


def completion(shell: str) -> str:
    """Return a completion script for bash, zsh or fish: commands, options, and file names."""
    _, commands = build()
    if shell == "fish":
        return "".join(_fish(name, parser) for name, parser in commands.items())
    cases = "".join(
        f'    {name}) words="{" ".join(options_of(parser))}" ;;\n'
        for name, parser in commands.items()
    )
    script = _BASH.format(commands=" ".join(commands), cases=cases)
    return ("autoload -U +X bashcompinit && bashcompinit\n" if shell == "zsh" else "") + script


def _fish(name: str, parser: ArgumentParser) -> str:
    top = f"complete -c counterpoise -n __fish_use_subcommand -f -a {name}\n"
    return top + "".join(
        f"complete -c counterpoise -n '__fish_seen_subcommand_from {name}' -l {option[2:]}\n"
        for option in options_of(parser)
        if option.startswith("--")
    )


_BASH = """\
_counterpoise() {{
  local now="${{COMP_WORDS[COMP_CWORD]}}" words="{commands}"
  if [ "$COMP_CWORD" -gt 1 ]; then
    case "${{COMP_WORDS[1]}}" in
{cases}    esac
    case "$now" in
      -*) ;;
      *) COMPREPLY=(); return ;;
    esac
  fi
  COMPREPLY=($(compgen -W "$words" -- "$now"))
}}
complete -o default -F _counterpoise counterpoise
"""
